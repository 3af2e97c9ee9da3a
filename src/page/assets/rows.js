// rows
