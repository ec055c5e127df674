//go:build !amd64

package belief

func setVectors(bool) {}
