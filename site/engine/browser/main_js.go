package main

import (
	"syscall/js"

	"turnplate/site/engine"
)

// main hands its worker, or its page, the one function that answers, and stays.
func main() {
	var e engine.Engine
	answer := js.FuncOf(func(_ js.Value, args []js.Value) any {
		return e.Answer([]byte(args[0].String()))
	})
	js.Global().Call("turnplateReady", answer)
	select {}
}
