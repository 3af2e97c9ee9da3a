// parts
