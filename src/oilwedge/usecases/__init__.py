"""What a person does with oilwedge, one module for each thing."""
