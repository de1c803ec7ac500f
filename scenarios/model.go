package scenarios

// Model rises with any change in simulated bytes; attempts of another model can still be graded but not simulated again.
const Model = 1
