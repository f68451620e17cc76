// Package spreadsheet settles the bytes of a workbook (Office Open XML): the same
// content gives the same file.
//
// In: the zip that a spreadsheet library wrote. Out: the same parts in the order
// of their names, without times, each as its caller mended it.
package spreadsheet
