package main

import (
	"cmp"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.com/railbook/report/sign"
)

func newSignCommand() *cobra.Command {
	var key, certificate, out string
	var o sign.Options
	cmd := &cobra.Command{
		Use:   "sign REPORT.pdf --key KEY.pem --certificate CERTIFICATE.pem",
		Short: "Sign a build report with a certificate",
		Long: `Sign appends a digital signature to a report: by it anyone can tell that the file
is as it was when it was signed, and by whose certificate. What was in the file
before stays as it is, so that a second signature, by the customer, leaves the first
valid.

The key is RSA of 2048 to 4096 bits or ECDSA on P-256 or P-384, in PEM and without a
pass phrase, in a file that only its owner can read. The certificate may have those of
its issuers behind it. For a first try, railbook certificate makes both.

The report is replaced, or written to --out, complete or not at all.`,
		Example: `  railbook sign first-build.pdf --key maker-key.pem --certificate maker-certificate.pem
  railbook sign first-build.pdf --key customer-key.pem --certificate customer-certificate.pem --reason accepted --out accepted.pdf`,
		Args: oneReport,
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := sign.Load(key, certificate)
			if err != nil {
				return err
			}
			target := cmp.Or(out, args[0])
			if err := sign.File(args[0], target, id, o); err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "signed by %s\n%s\n", sign.Describe(id.Certificate()), target)
			if err == nil && sign.SelfIssued(id.Certificate()) {
				_, err = fmt.Fprintf(cmd.ErrOrStderr(), "railbook: warning: %s\n", sign.Warning)
			}
			return err
		},
	}
	cmd.Flags().StringVar(&key, "key", "", "PEM file with the private key")
	cmd.Flags().StringVar(&certificate, "certificate", "", "PEM file with its certificate")
	cmd.Flags().StringVar(&o.Reason, "reason", "", "why it is signed, to be shown with the signature")
	cmd.Flags().StringVarP(&out, "out", "o", "", "the PDF file to write (default the report itself)")
	for _, name := range []string{"key", "certificate"} {
		if err := cmd.MarkFlagRequired(name); err != nil {
			panic(err) // the flags are defined above
		}
	}
	return cmd
}

func newCertificateCommand() *cobra.Command {
	var key, certificate string
	var s sign.Subject
	cmd := &cobra.Command{
		Use:   "certificate --name NAME --key KEY.pem --certificate CERTIFICATE.pem",
		Short: "Make a key and a certificate to sign reports with",
		Long: `Certificate makes a private key and a certificate for it that nobody vouches for,
to sign reports with for a first try or among people who know each other.

It proves that a report is as it was signed, not who signed it: anyone can make one
in any name. Whoever is to rely on it needs its fingerprint, which is printed, from
you by another way: read out on the telephone, or on paper. A certificate from an
authority proves more.

The key stays with you: its file can be read by nobody else, and reports never hold
it. Files that are there already are left alone.`,
		Example: `  railbook certificate --name "Maud Okparo" --organization "Ternhaven Engine Works" --key maker-key.pem --certificate maker-certificate.pem`,
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			s.From = time.Now()
			c, err := sign.WriteSelfMade(s, key, certificate)
			if err != nil {
				return fmt.Errorf("cannot make a certificate: %w", err)
			}
			if _, err := fmt.Fprintf(cmd.ErrOrStderr(), "railbook: warning: %s\n", sign.Warning); err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s\n%s\nfor %s, valid to %s\nSHA-256 %s\n",
				key, certificate, sign.Describe(c), c.NotAfter.Format(time.DateOnly), sign.Fingerprint(c))
			return err
		},
	}
	cmd.Flags().StringVar(&s.Name, "name", "", "of the person or shop that signs")
	cmd.Flags().StringVar(&s.Organization, "organization", "", "that the person belongs to")
	cmd.Flags().IntVar(&s.Years, "years", 2, "for which it holds")
	cmd.Flags().StringVar(&key, "key", "", "the file to write the private key to")
	cmd.Flags().StringVar(&certificate, "certificate", "", "the file to write the certificate to")
	for _, name := range []string{"name", "key", "certificate"} {
		if err := cmd.MarkFlagRequired(name); err != nil {
			panic(err) // the flags are defined above
		}
	}
	return cmd
}
