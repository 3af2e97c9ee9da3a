// board
