package relay_test

import (
	"context"
	"encoding/json"
	"fmt"

	"example.com/railbook/kernel/relay"
	"example.com/railbook/kernel/wire"
)

// noCells is a way to start a cell kernel for kernels that run no cells.
func noCells(ctx context.Context, _ func(string)) (relay.Kernel, error) {
	<-ctx.Done()
	return nil, context.Cause(ctx)
}

// double sends back twice what it is sent, and skips what has been overtaken.
func double(c *relay.Comm) {
	for {
		m, err := c.Receive()
		if err != nil {
			return // the front end has closed the comm, or the kernel ends
		}
		if c.Waiting() > 0 {
			continue
		}
		var in struct{ Value float64 }
		if err := json.Unmarshal(m.Data, &in); err != nil {
			continue
		}
		c.Send(map[string]float64{"value": 2 * in.Value})
	}
}

// A kernel with a comm target, and a front end that uses it.
func ExampleTarget() {
	ctx := context.Background()
	k, err := relay.Start(ctx, relay.Options{
		Start:   noCells,
		Targets: map[string]relay.Target{"double": double},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer k.Close()
	send := func(typ, content string) {
		k.Client().Send(wire.Shell, &wire.Message{Header: wire.Header{Type: typ}, Content: []byte(content)})
	}
	send("comm_open", `{"comm_id": "1", "target_name": "double", "data": {}}`)
	send("comm_msg", `{"comm_id": "1", "data": {"value": 21}}`)
	for {
		_, m, err := k.Client().Receive(ctx)
		if err != nil {
			fmt.Println(err)
			return
		}
		if m.Header.Type == "comm_msg" {
			fmt.Println(string(m.Content))
			return
		}
	}
	// Output: {"comm_id":"1","data":{"value":42}}
}
