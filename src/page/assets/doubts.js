// doubts
