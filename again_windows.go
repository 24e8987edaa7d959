package main

import "os"

// startAgain starts the program afresh and ends this one. It answers only where that cannot be.
func startAgain(environment []string) error {
	path, err := os.Executable()
	if err != nil {
		return err
	}
	if _, err := os.StartProcess(path, os.Args, &os.ProcAttr{Env: environment, Files: []*os.File{os.Stdin, os.Stdout, os.Stderr}}); err != nil {
		return err
	}
	os.Exit(0)
	return nil
}
