// marks
