// Package airflow reckons how product travels in the air of a seeder: whether
// the primary line keeps it moving, what the lines cost in pressure, how a head
// divides its air, what one blocked outlet does to the rest, and how long the
// product is under way.
//
// Plan does it for a whole drill:
//
//	air, results := airflow.Plan(d)
//
// Beneath it, one physical model is one function, with its equation and source:
//
//	saltation   ratio at which particles settle in a level pipe, six papers;
//	            U solves m/(rho A U) = f(U / sqrt(g D))
//	fall        Vt = sqrt(4 g d (rp - r) / (3 r CD))
//	pressure    acceleration + friction of air and of product + weight (Hinkle; Konno and Saito)
//	division    share = c / sum c, c = A / sqrt(K + f L/D)
//	blocking    product n/(n-1), always; air by fan and line, less
//	transit     from rest by quadratic drag, closed form, and sums of steady legs
//
// Everything is SI, friction factors are Darcy's unless a name says Fanning
// (Darcy = 4 Fanning: the usual mistake). The correlations disagree by 1.5 to
// 1.7 times for seeds, so Plan gives spans and asks for 1.5 times the highest.
// A share of air is not a share of product: particles enter a head with their
// own momentum, and shares are learned from recorded flow.
//
// What products are made of stands in materials.yaml.
package airflow
