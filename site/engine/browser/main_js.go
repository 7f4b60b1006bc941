package main

import (
	"syscall/js"

	"turnplate/site/engine"
)

// main hands its worker, or its page, the function that opens a site's notebooks, and the one that answers, and stays.
func main() {
	var e engine.Engine
	open := js.FuncOf(func(_ js.Value, args []js.Value) any {
		bundle := make([]byte, args[0].Length())
		js.CopyBytesToGo(bundle, args[0])
		if err := e.Open(bundle); err != nil {
			return err.Error()
		}
		return ""
	})
	answer := js.FuncOf(func(_ js.Value, args []js.Value) any {
		return e.Answer([]byte(args[0].String()))
	})
	js.Global().Call("turnplateReady", open, answer)
	select {}
}
