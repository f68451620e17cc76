// Package workbook writes a reviewed day as a spreadsheet (XLSX, ECMA-376): the
// sheets events, runs and summary, numbers as numbers, heads that stay in sight.
// Times are text in the recording's own form, which loses nothing; where that
// has dates, the length of an event in seconds stands beside it as a number.
// The same day gives the same bytes.
package workbook
