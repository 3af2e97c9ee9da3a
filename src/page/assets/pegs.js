// pegs
