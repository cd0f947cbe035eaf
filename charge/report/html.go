package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
	"time"

	"chargehand/charge/audit"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
)

//go:embed page.html.tmpl
var pageTemplate string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"clock": func(t time.Time) string { return t.Format("15:04") },
	"day":   func(t time.Time) string { return t.Format("2 January 2006") },
	"iso":   func(t time.Time) string { return t.Format(time.RFC3339) },
	"mass":  func(kg float64, u q.System) string { return signed(kg, u) },
	"kind":  func(f audit.Finding) string { return f.Severity.String() },
	"plain": plain.Line,
}).Parse(pageTemplate))

// signed prints an amount with its direction.
func signed(kg float64, u q.System) string {
	if kg < 0 {
		return "−" + q.FormatMassKg(-kg, u)
	}
	return q.FormatMassKg(kg, u)
}

type htmlPage struct {
	*Page
	ID      string
	Figure  template.HTML
	Percent string
	Serious int
}

// HTML writes one self-contained document with a section for each page.
func HTML(w io.Writer, pages []Page) error {
	doc := struct {
		Title string
		Many  bool
		Pages []htmlPage
	}{Title: "Charge report", Many: len(pages) > 1}
	if len(pages) == 1 {
		doc.Title = "Charge report: " + pages[0].Title
	}
	for i := range pages {
		h := htmlPage{Page: &pages[i], ID: fmt.Sprintf("j%d", i+1), Serious: audit.Count(pages[i].Findings, audit.Serious)}
		svg, err := figure(&pages[i], h.ID+"-fork")
		if err != nil {
			return err
		}
		h.Figure = template.HTML(svg) // drawn here; its only text from outside is escaped in accessible
		if pct := 100 * h.NetKg / h.PlateKg; !math.IsNaN(pct) {
			h.Percent = fmt.Sprintf("%.0f %%", pct)
		}
		doc.Pages = append(doc.Pages, h)
	}
	var b strings.Builder
	if err := page.Execute(&b, doc); err != nil {
		return err
	}
	_, err := io.WriteString(w, b.String())
	return err
}
