// wire
