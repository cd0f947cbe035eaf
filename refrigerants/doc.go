// Package refrigerants gives the thermodynamic properties of refrigerants,
// pure and blended, from their published equations of state.
package refrigerants
