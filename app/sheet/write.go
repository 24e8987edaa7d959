package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/pdf"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/drawing/svg"
	"hedgereach/habitat/plan"
)

// Formats are the formats that Write knows, which are also the extensions that WriteFile goes by.
// "csv" holds the planting list and the shopping list, and no drawing.
var Formats = []string{"pdf", "svg", "png", "csv"}

// dpi is the fineness of PNG pictures: what an office printer shows.
const dpi = 200

// Write writes the set in a format: all pages as "pdf", the first alone as "svg" or "png", the planting list and what to buy as "csv".
func (s *Set) Write(w io.Writer, format string) error {
	if format == "pdf" {
		lists := make([]drawing.List, len(s.Pages))
		meta := pdf.Meta{Title: s.Title, Author: s.Author, Subject: "Plot map and lists", Created: s.Date}
		for i, p := range s.Pages {
			lists[i] = p.List
			if i == 0 || p.Name != s.Pages[i-1].Name {
				meta.Bookmarks = append(meta.Bookmarks, pdf.Bookmark{Title: p.Name, Page: i})
			}
		}
		return pdf.Write(w, lists, meta)
	}
	if format == "csv" {
		if s.planting == nil {
			return errors.New("the planting list needs the catalogue")
		}
		return s.planting().WriteCSV(w)
	}
	return s.writePage(w, format, 0)
}

func (s *Set) writePage(w io.Writer, format string, page int) error {
	switch l := s.Pages[page].List; format {
	case "svg":
		return svg.Write(w, l, s.Title+", "+strings.ToLower(s.Pages[page].Name))
	case "png":
		return raster.WritePNG(w, l, dpi)
	}
	return fmt.Errorf("%q is not a format for sheets: use %s", format, strings.Join(Formats, ", "))
}

// Files lists the files that WriteFile would write for a path: one for PDF and CSV; for SVG and PNG one a page, numbered -1, -2 … where
// there are several.
func (s *Set) Files(path string) []string {
	ext := filepath.Ext(path)
	if strings.EqualFold(ext, ".pdf") || strings.EqualFold(ext, ".csv") || len(s.Pages) == 1 {
		return []string{path}
	}
	out := make([]string, len(s.Pages))
	for i := range out {
		out[i] = strings.TrimSuffix(path, ext) + "-" + strconv.Itoa(i+1) + ext
	}
	return out
}

// WriteFile writes the set in the format of the path's extension and answers the files written. There is never
// half a file, and an old one stays until the new one is whole.
func (s *Set) WriteFile(path string) ([]string, error) {
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	if !slices.Contains(Formats, format) {
		return nil, fmt.Errorf("%s: a sheet is written as PDF, SVG or PNG, the planting list as CSV: end the name in .pdf, .svg, .png or .csv", path)
	}
	files := s.Files(path)
	for i, name := range files {
		write := func(w io.Writer) error { return s.writePage(w, format, i) }
		if format == "pdf" || format == "csv" {
			write = func(w io.Writer) error { return s.Write(w, format) }
		}
		var data bytes.Buffer
		if err := write(&data); err != nil {
			return files[:i], fmt.Errorf("%s: %w", name, err)
		}
		if err := plan.Replace(name, data.Bytes()); err != nil {
			return files[:i], err
		}
	}
	return files, nil
}
