//go:build unix

package main

import "golang.org/x/sys/unix"

// windowSize asks the terminal behind fd for its size; ok is false when there is no terminal.
func windowSize(fd uintptr) (width, height int, ok bool) {
	size, err := unix.IoctlGetWinsize(int(fd), unix.TIOCGWINSZ)
	if err != nil {
		return 0, 0, false
	}
	return int(size.Col), int(size.Row), true
}
