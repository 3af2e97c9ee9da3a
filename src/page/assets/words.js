// words
