// Package train trains the network of package signature; command .ci/signature writes what it gives.
//
// The systems are those of rig.Plausible between 62 and 110 °F outdoors. Half are sound, at 58 to 108 % of the data plate
// charge and one in ten of them overcharged up to 130 %; half have one fault of rig.PlausibleFault that shows, at 93 to 107 % of
// it and three in ten at 78 to 118 %. They are read with rig.PlausibleInstruments; each time the network sees a reading the
// scatter of real units about the rig is laid over it anew.
package train
