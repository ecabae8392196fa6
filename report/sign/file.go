package sign

import (
	"fmt"
	"io"
	"os"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/whole"
)

// File signs the PDF file at path and writes it to out, which may be the same: out then
// holds the whole signed file, or what it held before. The error names the files.
func File(path, out string, id *Identity, o Options) error {
	pdf, err := Read(path)
	if err != nil {
		return err
	}
	signed, err := Sign(pdf, id, o)
	if err != nil {
		return fmt.Errorf("cannot sign %s: %w", path, err)
	}
	if err := whole.Write(out, signed); err != nil {
		return fmt.Errorf("cannot write the signed report %s: %w", out, err)
	}
	return nil
}

// Read reads a PDF file, which must not be larger than a report can be.
func Read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open the report: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("cannot open the report: %w", err)
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("cannot read the report %s: it is not a regular file", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, pdffile.MaxFile+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read the report: %w", err)
	}
	if len(data) > pdffile.MaxFile {
		return nil, fmt.Errorf("%s is larger than %d MB and no report", path, pdffile.MaxFile>>20)
	}
	return data, nil
}
