//go:build js && wasm

// Command wasm is package whatif compiled for a browser. It puts two functions into the
// object railbook that the page has made:
//
//	open(build)     takes a build as JSON; returns "" or what is wrong with it
//	handle(request) answers a request of whatif in JSON, also a bad one
//
// and then waits for calls, as long as the page is open.
package main

import (
	"encoding/json"
	"syscall/js"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

func main() {
	var panel *whatif.Panel
	railbook := js.Global().Get("railbook")
	railbook.Set("open", js.FuncOf(func(_ js.Value, args []js.Value) any {
		var b sizing.Build
		err := json.Unmarshal([]byte(args[0].String()), &b)
		if err == nil {
			panel, err = whatif.New(b)
		}
		if err != nil {
			return err.Error()
		}
		return ""
	}))
	railbook.Set("handle", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return string(panel.Handle([]byte(args[0].String())))
	}))
	select {}
}
