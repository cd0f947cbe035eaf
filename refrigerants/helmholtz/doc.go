// Package helmholtz evaluates Helmholtz-energy equations of state of pure
// fluids and of mixtures, and solves their phase equilibria.
package helmholtz
