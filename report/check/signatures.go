package check

import (
	"errors"
	"strings"
	"time"

	"example.com/railbook/report/sign"
)

// signatures says of every signature whether it holds, what it covers and whose it is.
func (r *run) signatures(list []sign.Signature) {
	if len(list) == 0 {
		if r.o.Unsigned {
			r.add("signature", Skipped, "there is none, and none is wanted")
		} else {
			r.add("signature", Fails, "there is none: the report was never signed, or its signature was taken out")
		}
		return
	}
	for i, s := range list {
		switch last := i == len(list)-1; {
		case errors.Is(s.Err, sign.ErrChanged):
			r.add("signature", Fails, "that of %s does not hold: %v", s.Signer(), sign.ErrChanged)
		case s.Err != nil:
			r.add("signature", Fails, "that of %s does not hold: %s", s.Signer(), oneLine(s.Err.Error()))
		case last && s.Rest > 0:
			r.add("signature", Fails, "that of %s leaves out the last %d bytes, which were appended since", s.Signer(), s.Rest)
		case last:
			r.add("signature", Holds, "signed by %s%s: it covers the whole file", s.Signer(), particulars(s))
		default:
			r.add("signature", Holds, "signed by %s%s: it covers the file up to the signature behind it", s.Signer(), particulars(s))
		}
		if s.Certificate != nil {
			r.signer(s)
		}
	}
}

// particulars are when and why, as the signer said.
func particulars(s sign.Signature) string {
	text := ""
	if !s.Time.IsZero() {
		text += " on " + s.Time.UTC().Format("2006-01-02 at 15:04 UTC")
	}
	if reason := oneLine(s.Reason); reason != "" {
		text += ", “" + reason + "”"
	}
	return text
}

// signer says whether the certificate is one that the caller knows.
func (r *run) signer(s sign.Signature) {
	finger := "SHA-256 " + sign.Fingerprint(s.Certificate)
	ends := "valid to " + s.Certificate.NotAfter.Format(time.DateOnly)
	switch {
	case s.Known(r.o.Certificates):
		r.add("signer", Holds, "%s has a certificate that is known, %s", s.Signer(), ends)
	case len(r.o.Certificates) > 0:
		r.add("signer", Fails, "the certificate of %s is not known: it is none of those given, nor issued by one; %s", s.Signer(), finger)
	case sign.SelfIssued(s.Certificate):
		r.add("signer", Skipped, "nobody vouches for the certificate of %s but itself: anyone can make one; compare it with one had another way, %s", s.Signer(), finger)
	default:
		r.add("signer", Skipped, "the certificate of %s says it was issued by %.80q, which was not looked into; %s", s.Signer(), strings.TrimSpace(s.Certificate.Issuer.String()), finger)
	}
}
