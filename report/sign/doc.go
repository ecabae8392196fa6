// Package sign signs PDF files with a certificate, and verifies such signatures.
//
//	id, err := sign.Load("maker-key.pem", "maker-certificate.pem")
//	…
//	signed, err := sign.Sign(pdf, id, sign.Options{Reason: "released"})
//	…
//	signatures, err := sign.Verify(signed)
//
// A signature is appended to the file and changes nothing that was there before, so that
// a second one, by the customer, leaves the first valid. It covers every byte of the file
// up to its own end but for the signature itself.
//
// What a signature proves: that the bytes are those that the holder of the private key
// signed. Who that is, the certificate says; whether to believe it is for the reader to
// decide, by comparing the certificate with one that came another way. A certificate
// that was made by [SelfMade] says nothing more than its maker wrote into it.
//
// Signatures are of the kind adbe.pkcs7.detached of ISO 32000-1, section 12.8.3.3: CMS
// signed data (RFC 5652) with the certificate bound into it (RFC 5035). There is no time
// stamp by a third party: the time of signing is what the signer's clock said. No PAdES
// level is claimed, and revocation is not looked at.
package sign

import "errors"

// What can be wrong with a signature; see [Signature.Err].
var (
	// ErrChanged marks a signature whose document has been changed since it was signed.
	ErrChanged = errors.New("the document has been changed since it was signed")
	// ErrSignature marks a signature that was not made with the key of its certificate.
	ErrSignature = errors.New("the signature is not that of its certificate")
	// ErrMalformed marks a signature that is not written as it should be: one that has
	// been tampered with, or one of a kind that this package does not know.
	ErrMalformed = errors.New("the signature is malformed")
)

// ErrKey marks a private key or certificate that cannot be used to sign.
var ErrKey = errors.New("not usable")
