package airflow_test

import (
	"fmt"

	"runproof/airflow"
)

// Twelve rows of wheat at 110 kg/ha and 8 km/h in one line of 63.5 mm.
func ExampleRizk() {
	s := airflow.Stream{MassKgS: 0.0726, BoreM: 0.0635, Gas: airflow.Gas{KgM3: 1.2, PaS: 1.81e-5}}
	p := airflow.Particle{DiameterM: 0.0039, KgM3: 1350, FallMPS: 7.8}
	fmt.Printf("settles below %.1f m/s (Rizk) or %.1f m/s (Weber); %.2f kg in a kg of air at 25 m/s\n", airflow.Rizk(s, p), airflow.Weber(s, p), s.Loading(25))
	// Output: settles below 11.2 m/s (Rizk) or 10.4 m/s (Weber); 0.76 kg in a kg of air at 25 m/s
}
