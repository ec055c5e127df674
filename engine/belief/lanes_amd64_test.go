package belief

func setVectors(on bool) { vectors = on }
