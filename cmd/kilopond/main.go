// Kilopond lets students proctor a submaximal cycle test on synthetic subjects, judges every decision, and works the calculation.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	signal.Ignore(syscall.SIGPIPE) // a reader that has seen enough is no fault
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
