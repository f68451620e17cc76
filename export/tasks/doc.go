// Package tasks writes ISO 11783-10 task data (TASKDATA.XML, version 4.3) for a
// drill and the ground it left short of product:
//
//	set, err := tasks.Make(tasks.Input{Day: day, Drill: d})
//	set.Files[0]   // TASKDATA.XML; behind it the grids, if any
//
// What the set holds:
//
//	PDT, VPN   each product of the drill, rates shown in kg/ha
//	PFD        the field, with the area that was worked
//	DVC        the drill: connector, for each product a function with its bin and
//	           its sections (those described, else the heads), and on demand a unit
//	           for each row, all with offsets and widths
//	TSK        for each product with ground to sow again a planned task: zone 0 with
//	           rate 0 (by default, outside the field, position lost), and a zone for
//	           each part of the rate that was missing
//
// Offsets are from the drill's reference point, the middle of the front rank at
// ground level: x forward, y right, z down, mm. Rates are DDI 6, mg/m2: 1 kg/ha is
// 100 mg/m2. Ground that lost 90 % or more gets the product's whole rate; what
// lost less gets that part of it, to the next tenth, so that nothing is sown twice
// (on demand the whole rate everywhere).
//
// The drill's NAME (ISO 11783-5) is invented: manufacturer code 2046, which open
// projects use for what is registered nowhere (common practice, no source),
// industry group 2 agriculture, device class 4 planters and seeders, function 128
// rate control, and an identity number from the drill's name. A terminal that has
// met the drill's own controller wants that one's NAME: Input.Client.
//
// Sources: ISO 11783-10:2015 as published in its XML schema V4.3; the data
// dictionary of ISO 11783-11 (isobus.net, entries as of 2024).
package tasks
