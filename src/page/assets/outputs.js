// outputs
