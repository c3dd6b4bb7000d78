// Package openhouse makes the store that the demo serves: the story of package
// demo, and on top of it an evening of its owner at the desk, done through the
// book as a person would. The story knows nothing of the estimator; what the
// owner decides does: the closed year, the plan that waits, the round that is
// due, the blind test.
package openhouse
