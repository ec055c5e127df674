// Package floorbench compares compiled conditions with the same conditions as Go
// functions, which the program ../floor writes. See ../README.md.
package floorbench
