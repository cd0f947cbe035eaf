package refrigerants

// Fresh empties the cache and looks a refrigerant up as on first use.
func Fresh(name string) *Refrigerant {
	cacheMu.Lock()
	clear(cache)
	cacheMu.Unlock()
	r, err := Lookup(name)
	if err != nil {
		panic(err)
	}
	return r
}
