package show

import (
	"html"
	"reflect"
	"strconv"
	"strings"
)

// What a table of structs has room for.
const (
	mostRows    = 200
	mostColumns = 16
)

// tableOf returns a list of structs, or of pointers to structs, as an HTML
// table with a column for each exported field.
func tableOf(v any) (text string, ok bool) {
	list := reflect.ValueOf(v)
	if k := list.Kind(); k != reflect.Slice && k != reflect.Array || list.Len() == 0 {
		return "", false
	}
	row := list.Type().Elem()
	if row.Kind() == reflect.Pointer {
		row = row.Elem()
	}
	if row.Kind() != reflect.Struct {
		return "", false
	}
	if _, ok := said(list.Index(0).Interface()); ok {
		return "", false // it is one thing, not several
	}
	var columns []int
	for i := range row.NumField() {
		if row.Field(i).IsExported() {
			columns = append(columns, i)
		}
	}
	if len(columns) == 0 || len(columns) > mostColumns {
		return "", false
	}
	var b strings.Builder
	b.WriteString("<table><thead><tr>")
	for _, c := range columns {
		b.WriteString("<th>" + html.EscapeString(row.Field(c).Name) + "</th>")
	}
	b.WriteString("</tr></thead><tbody>")
	for i := range min(list.Len(), mostRows) {
		item := list.Index(i)
		if item.Kind() == reflect.Pointer {
			if item.IsNil() {
				continue
			}
			item = item.Elem()
		}
		b.WriteString("<tr>")
		for _, c := range columns {
			b.WriteString(cell(item.Field(c)))
		}
		b.WriteString("</tr>")
	}
	b.WriteString("</tbody>")
	if more := list.Len() - mostRows; more > 0 {
		b.WriteString("<caption>… " + strconv.Itoa(more) + " more</caption>")
	}
	b.WriteString("</table>")
	return b.String(), true
}

// cell is one value in the table; numbers stand to the right.
func cell(v reflect.Value) string {
	align := ""
	switch v.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64, reflect.Float32, reflect.Float64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		align = ` style="text-align:right"`
	}
	var text string
	if v.Kind() == reflect.String {
		text = v.String()
		if s, ok := said(v.Interface()); ok {
			text = s
		}
	} else {
		p := printer{seen: map[seen]bool{}}
		text = p.text(v, 1, false)
	}
	return "<td" + align + ">" + html.EscapeString(text) + "</td>"
}
