// seeing
