package wire

import (
	"context"
	"fmt"
	"time"
)

// KernelInfo is what a kernel says of itself.
type KernelInfo struct {
	ProtocolVersion       string `json:"protocol_version"`
	Implementation        string `json:"implementation"`
	ImplementationVersion string `json:"implementation_version"`
	Language              struct {
		Name          string `json:"name"`
		Version       string `json:"version"`
		MIMEType      string `json:"mimetype"`
		FileExtension string `json:"file_extension"`
	} `json:"language_info"`
}

// askAgain is how long after a reply without any output another request for
// the kernel's info is made.
const askAgain = 50 * time.Millisecond

// Ready waits until the kernel both answers requests and is heard on its output
// socket, which loses what it sends before the subscription has arrived. Call
// it once, before the first [Client.Execute].
func (c *Client) Ready(ctx context.Context) (KernelInfo, error) {
	var info KernelInfo
	asked := map[string]bool{}
	ask := func() error {
		id, err := c.send(Shell, KernelInfoRequest, struct{}{})
		asked[id] = true
		return err
	}
	if err := ask(); err != nil {
		return info, err
	}
	again := time.NewTicker(askAgain)
	defer again.Stop()
	answered, heard := false, false
	for !answered || !heard {
		select {
		case r := <-c.replies:
			if r.err != nil {
				return info, r.err
			}
			if r.msg.Header.Type == KernelInfoReply && asked[r.msg.Parent.ID] {
				if err := r.msg.Decode(&info); err != nil {
					return info, err
				}
				answered = true
			}
		case r := <-c.outputs:
			if r.err != nil {
				return info, r.err
			}
			heard = heard || asked[r.msg.Parent.ID]
		case <-again.C:
			if answered {
				if err := ask(); err != nil {
					return info, err
				}
			}
		case <-ctx.Done():
			return info, fmt.Errorf("waiting for the kernel to answer: %w", context.Cause(ctx))
		}
	}
	return info, nil
}
