package injector

import "encoding"

// marshalRows writes the rows of a table between semicolons.
func marshalRows[R encoding.TextMarshaler](rows []R) ([]byte, error) {
	var text []byte
	for i, r := range rows {
		one, err := r.MarshalText()
		if err != nil {
			return nil, err
		}
		if i > 0 {
			text = append(text, "; "...)
		}
		text = append(text, one...)
	}
	return text, nil
}
