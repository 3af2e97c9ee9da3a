// size
