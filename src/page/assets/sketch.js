// sketch
