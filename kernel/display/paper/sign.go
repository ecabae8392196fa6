package paper

import (
	"crypto"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/report/check"
	"example.com/railbook/report/sign"
	"example.com/railbook/sizing"
)

// Sign signs a report that a cell has written, with a private key and its certificate in PEM
// files, whose paths count from the notebook's folder. The key's file must be one that only
// its owner can read.
func Sign(name, key, certificate, reason string) {
	id := cell.Must(sign.Load(key, certificate))
	signed(name, id, reason)
}

// SignOnce signs a report with a key that is made for this one signature and is kept nowhere,
// and writes the certificate, which says nothing but the holder's name, beside the report. It
// shows how signing works; who is to rely on a signature needs one made by [Sign].
func SignOnce(name, certificate, holder, reason string) {
	if err := signOnce(name, certificate, holder, reason); err != nil {
		cell.Fail(err)
	}
}

func signOnce(name, certificate, holder, reason string) error {
	path, err := cell.OutPath(certificate)
	if err != nil {
		return err
	}
	key, public, err := sign.SelfMade(sign.Subject{Name: holder, From: time.Now(), Years: 1})
	if err != nil {
		return err
	}
	id, err := identity(key, public)
	if err != nil {
		return err
	}
	const readable = 0o644
	if err := os.WriteFile(path, public, readable); err != nil {
		return err
	}
	signed(name, id, reason)
	return nil
}

// identity makes an identity of a key and its certificate in PEM.
func identity(key, certificate []byte) (*sign.Identity, error) {
	chain, err := sign.ParseCertificates(certificate)
	if err != nil {
		return nil, err
	}
	block, _ := pem.Decode(key)
	if block == nil {
		return nil, errors.New("the key is not in PEM")
	}
	private, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		return nil, err
	}
	signer, ok := private.(crypto.Signer)
	if !ok {
		return nil, fmt.Errorf("a %T cannot sign", private)
	}
	return sign.NewIdentity(signer, chain...)
}

// signed signs the report in place and shows by whose certificate.
func signed(name string, id *sign.Identity, reason string) {
	path := cell.Must(cell.OutPath(name))
	if err := sign.File(path, path, id, sign.Options{Reason: reason}); err != nil {
		cell.Fail(err)
	}
	c := id.Certificate()
	t := sizing.Table{
		Caption: "Signed " + name,
		Columns: []sizing.Column{{Name: "Of the signature"}, {Name: "Is"}},
		Rows: [][]string{
			{"certificate of", strings.Trim(sign.Describe(c), `"`)},
			{"holds to", c.NotAfter.Format(time.DateOnly)},
			{"SHA-256", halves(sign.Fingerprint(c))},
		},
	}
	if reason != "" {
		t.Rows = append(t.Rows, []string{"reason", reason})
	}
	html, text := markup.Table(t), markup.TextTable(t)
	if sign.SelfIssued(c) {
		warning := strings.ToUpper(sign.Warning[:1]) + sign.Warning[1:]
		html, text = html+"\n"+markup.Note(warning), text+"\n"+warning
	}
	if err := cell.Send(cell.Bundle{cell.HTML: html, cell.Text: text}); err != nil {
		cell.Fail(err)
	}
}

// halves parts a fingerprint in its middle, so that a page can break it there.
func halves(fingerprint string) string {
	middle := len(fingerprint) / 2
	return strings.TrimSuffix(fingerprint[:middle], ":") + " " + strings.TrimPrefix(fingerprint[middle:], ":")
}

// Findings checks a report that a cell has written against itself and against the
// certificates of its signers, files that lie in the same folder; see package check. A report
// without a signature is accepted where no certificate is given.
func Findings(name string, certificates ...string) check.Checked {
	return cell.Must(findings(name, certificates))
}

func findings(name string, certificates []string) (check.Checked, error) {
	path, err := cell.OutPath(name)
	if err != nil {
		return check.Checked{}, err
	}
	o := check.Options{Unsigned: len(certificates) == 0}
	for _, c := range certificates {
		file, err := cell.OutPath(c)
		if err != nil {
			return check.Checked{}, err
		}
		list, err := sign.LoadCertificates(file)
		if err != nil {
			return check.Checked{}, err
		}
		o.Certificates = append(o.Certificates, list...)
	}
	pdf, err := sign.Read(path)
	if err != nil {
		return check.Checked{}, err
	}
	return check.Run(pdf, o), nil
}

// Check shows what [Findings] finds, and ends the cell where a check fails.
func Check(name string, certificates ...string) {
	checked := Findings(name, certificates...)
	t := sizing.Table{Caption: "Checked " + name, Columns: []sizing.Column{{Name: "Checked"}, {Name: "Outcome"}, {Name: "What was found"}}}
	for _, f := range checked.Findings {
		t.Rows = append(t.Rows, []string{f.Check, f.Outcome.String(), f.Text})
	}
	if err := cell.Send(cell.Bundle{cell.HTML: markup.Table(t), cell.Text: markup.TextTable(t)}); err != nil {
		cell.Fail(err)
	}
	if failed := checked.Failed(); len(failed) > 0 {
		cell.Fail(fmt.Errorf("%s does not hold: %s", name, strings.Join(failed, ", ")))
	}
}
