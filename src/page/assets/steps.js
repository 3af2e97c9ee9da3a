// steps
