package main

import (
	"crypto/x509"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.com/railbook/report/check"
	"example.com/railbook/report/sign"
)

func newCheckCommand() *cobra.Command {
	var certificates []string
	var asJSON bool
	var o check.Options
	cmd := &cobra.Command{
		Use:   "check REPORT.pdf",
		Short: "Check a build report: its numbers, its pages, its signatures",
		Long: `Check takes the build sheet out of a report, makes the report again from it, and
says in one line per check what holds: that the attachments are there, that the
results follow from the sheet, that the pages print these results and come out
the same when drawn again, that nothing but signatures was appended, and that the
signatures hold and cover the file.

Whose signature it is, only a certificate can tell that reached you by another way
than the report: give it with --certificate, more than once for several signers.
Without one, what the certificate in the report says of itself is printed, and its
fingerprint to compare.

It exits with status 1 where a check fails. A report that was made by another
version of the program says so; numbers that differ may differ for that reason.`,
		Example: `  railbook check first-build.pdf --certificate maker-certificate.pem
  railbook check draft.pdf --unsigned
  railbook check first-build.pdf --json | jq -r '.findings[] | select(.outcome == "FAILS") | .text'`,
		Args: oneReport,
		RunE: func(cmd *cobra.Command, args []string) error {
			var err error
			if o.Certificates, err = loadCertificates(certificates); err != nil {
				return err
			}
			pdf, err := sign.Read(args[0])
			if err != nil {
				return err
			}
			checked := check.Run(pdf, o)
			failed := checked.Failed()
			if asJSON {
				enc := json.NewEncoder(cmd.OutOrStdout())
				enc.SetIndent("", "  ")
				enc.SetEscapeHTML(false)
				err = enc.Encode(struct {
					Report string `json:"report"`
					OK     bool   `json:"ok"` // no check failed
					check.Checked
				}{args[0], len(failed) == 0, checked})
			} else {
				out := &printer{w: cmd.OutOrStdout()}
				for _, f := range checked.Findings {
					out.print("%s\n", f)
				}
				err = out.err
			}
			if err == nil && len(failed) > 0 {
				err = fmt.Errorf("%s does not hold: %s", args[0], strings.Join(failed, ", "))
			}
			return err
		},
	}
	cmd.Flags().StringArrayVar(&certificates, "certificate", nil, "PEM file with the certificate of a signer, or of who issued it; may be repeated")
	cmd.Flags().BoolVar(&o.Unsigned, "unsigned", false, "accept a report without a signature")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON for programs")
	return cmd
}

// oneReport wants one report as argument.
func oneReport(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("%s takes one report, got %d arguments; see %s --help", cmd.Name(), len(args), cmd.CommandPath())
	}
	return nil
}

func loadCertificates(paths []string) ([]*x509.Certificate, error) {
	var all []*x509.Certificate
	for _, path := range paths {
		list, err := sign.LoadCertificates(path)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}
