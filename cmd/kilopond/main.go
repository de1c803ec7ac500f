// Kilopond lets students proctor a submaximal cycle test on synthetic subjects, judges every decision, and works the calculation.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// graceAfterInterrupt is how long a command has to end in good order once it is interrupted. One that waits for input cannot be woken.
const graceAfterInterrupt = time.Second

func main() {
	signal.Ignore(syscall.SIGPIPE) // a reader that has seen enough is no fault
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	context.AfterFunc(ctx, func() {
		time.Sleep(graceAfterInterrupt)
		fmt.Fprint(os.Stderr, "\nerror: interrupted\nhint: the same command begins again\n")
		os.Exit(exitFailed)
	})
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
