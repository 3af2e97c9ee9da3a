// line
