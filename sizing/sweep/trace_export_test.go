package sweep

// Trace opens trace to tests, with a function of their own in place of the model.
var Trace = trace
