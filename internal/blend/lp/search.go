package lp

func (t *tableau) search(p *Program) (Solution, error) { return t.linear(p) }
