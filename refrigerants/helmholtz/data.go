package helmholtz

import "fmt"

// FluidData is the published equation of state of one pure fluid as the data
// files hold it. Arrays are rows of coefficients in the order their JSON names
// say: n is the coefficient, t the exponent of tau, d the exponent of delta.
type FluidData struct {
	Citation       string       `json:"citation"`
	MolarMass      float64      `json:"molar_mass_kg_mol"`
	GasConstant    float64      `json:"gas_constant_J_molK"`
	ReducingT      float64      `json:"reducing_T_K"`
	ReducingRho    float64      `json:"reducing_rho_mol_m3"`
	TripleT        float64      `json:"triple_T_K"`
	MaxT           float64      `json:"T_max_K"`
	MaxP           float64      `json:"p_max_Pa"`
	AcentricFactor float64      `json:"acentric_factor"`
	Ideal          IdealData    `json:"ideal"`
	Residual       ResidualData `json:"residual"`
	Start          StartData    `json:"starting_values"`
}

// IdealData is alpha0 = ln(delta) + Constant + LinearTau*tau + LogTau*ln(tau) +
// sum n*tau^t (Power) + sum n*ln(1-exp(-theta*tau)) (Einstein).
type IdealData struct {
	Constant  float64      `json:"constant"`
	LinearTau float64      `json:"linear_tau"`
	LogTau    float64      `json:"log_tau"`
	Power     [][2]float64 `json:"power_n_t"`
	Einstein  [][2]float64 `json:"einstein_n_theta"`
}

// ResidualData lists the terms of alphar by family; see terms.go for the
// formula of each.
type ResidualData struct {
	Polynomial        [][3]float64 `json:"polynomial_n_t_d"`
	Exponential       [][4]float64 `json:"exponential_n_t_d_l"`
	DoubleExponential [][5]float64 `json:"double_exponential_n_t_d_l_m"`
	Gaussian          [][7]float64 `json:"gaussian_n_t_d_eta_beta_gamma_epsilon"`
	InverseGaussian   [][8]float64 `json:"inverse_gaussian_n_t_d_eta_beta_gamma_epsilon_b"`
	NonAnalytic       [][8]float64 `json:"nonanalytic_n_a_b_beta_A_B_C_D"`
}

// StartData holds ancillary saturation equations. They start iterations and
// never reach a result.
type StartData struct {
	PSat      Ancillary `json:"p_sat"`
	RhoLiquid Ancillary `json:"rho_liquid"`
}

// Ancillary is y_r exp(T_r/T sum n theta^t) for pressure and
// y_r (1 + sum n theta^t) for liquid density, theta = 1 - T/T_r.
type Ancillary struct {
	Tr float64      `json:"T_r_K"`
	Yr float64      `json:"y_r"`
	NT [][2]float64 `json:"n_t"`
}

// PairData holds the binary parameters of the multi-fluid model for one pair
// in the order I, J. Swapped, the betas are inverted.
type PairData struct {
	I         string  `json:"i"`
	J         string  `json:"j"`
	BetaT     float64 `json:"beta_T"`
	GammaT    float64 `json:"gamma_T"`
	BetaV     float64 `json:"beta_v"`
	GammaV    float64 `json:"gamma_v"`
	F         float64 `json:"F"`
	Departure string  `json:"departure"`
	Estimate  bool    `json:"estimate"` // no published parameters for this pair
	Source    string  `json:"source"`
}

// DepartureData is sum n delta^d tau^t exp(-delta^l).
type DepartureData struct {
	Citation string       `json:"citation"`
	Terms    [][4]float64 `json:"n_t_d_l"`
}

// PairsData is the content of the file of binary parameters.
type PairsData struct {
	GasConstant float64                  `json:"gas_constant_J_molK"`
	Pairs       []PairData               `json:"pairs"`
	Departures  map[string]DepartureData `json:"departures"`
}

// Find returns the parameters of a pair in the order a, b; the betas are
// inverted if the data hold the pair the other way round.
func (ps *PairsData) Find(a, b string) (PairData, bool) {
	for _, p := range ps.Pairs {
		switch {
		case p.I == a && p.J == b:
			return p, true
		case p.I == b && p.J == a:
			p.I, p.J = a, b
			p.BetaT, p.BetaV = 1/p.BetaT, 1/p.BetaV
			return p, true
		}
	}
	return PairData{}, false
}

func (r *ResidualData) compile() (terms, error) {
	var ts terms
	for _, c := range r.Polynomial {
		if err := ts.addPower(c[0], c[1], c[2], 0); err != nil {
			return ts, fmt.Errorf("polynomial term: %w", err)
		}
	}
	for _, c := range r.Exponential {
		if err := ts.addPower(c[0], c[1], c[2], c[3]); err != nil {
			return ts, fmt.Errorf("exponential term: %w", err)
		}
	}
	for _, c := range r.DoubleExponential {
		ts.addBell(bellTerm{kind: doubleExponential, n: c[0], t: c[1], d: uint8(c[2]), l: uint8(c[3]), m: c[4]})
	}
	for _, c := range r.Gaussian {
		ts.addBell(bellTerm{kind: gaussian, n: c[0], t: c[1], d: uint8(c[2]), eta: c[3], beta: c[4], gamma: c[5], eps: c[6]})
	}
	for _, c := range r.InverseGaussian {
		ts.addBell(bellTerm{kind: inverseGaussian, n: c[0], t: c[1], d: uint8(c[2]), eta: c[3], beta: c[4], gamma: c[5], eps: c[6], b: c[7]})
	}
	for _, c := range r.NonAnalytic {
		ts.addBell(bellTerm{kind: nonAnalytic, n: c[0], na: c[1], nb: c[2], beta: c[3], nA: c[4], nB: c[5], nC: c[6], nD_: c[7]})
	}
	if ts.maxD > maxDeltaPower || ts.maxL > maxExpPower {
		return ts, fmt.Errorf("a delta exponent is too large")
	}
	return ts, ts.finish()
}
