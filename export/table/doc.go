// Package table prints the route card and the quote of a report as sheets for people, in the Portable Document Format, and
// the quote as comma-separated values (the route card's are report.Report.RouteCard).
//
// Sheets are A4, lengths on them are millimetres. Every sheet carries the plate's name and revision, the shop profile, the
// page number and the cautions. The same report and date give the same bytes.
//
//	err := table.QuotePDF(w, r, table.Sheet{Date: "2026-11-25"})
package table
