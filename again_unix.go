//go:build !windows

package main

import (
	"os"
	"syscall"
)

// startAgain puts a fresh start of the program in the place of this one. It answers only where that cannot be.
func startAgain(environment []string) error {
	path, err := os.Executable()
	if err != nil {
		return err
	}
	return syscall.Exec(path, os.Args, environment)
}
