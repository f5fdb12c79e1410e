# Five rules of lintern in Rego, for comparing speed. They read the same records as rule modules do, and find the same
# elements; their texts are shorter than lintern's, and they keep no margins.
package lintern

import rego.v1

# Rules compare with a tolerance of a part in 10^9, as lintern's do.
tolerance := 0.000000001

findings contains found if {
	some i, luminaire in input.luminaires
	kind := input.luminaire_types[luminaire.kind]
	volts := input.judged.luminaires[i].node.volts
	volts != null
	kind.input_min_v != null
	volts < kind.input_min_v * (1 - tolerance)
	found := {
		"rule": "voltage/undervoltage",
		"subject": luminaire.id,
		"measured": volts,
		"limit": kind.input_min_v,
		"message": sprintf("%s gets %v V; its lowest input voltage is %v V", [luminaire.id, volts, kind.input_min_v]),
	}
}

findings contains found if {
	some i, luminaire in input.luminaires
	kind := input.luminaire_types[luminaire.kind]
	volts := input.judged.luminaires[i].node.volts
	volts != null
	kind.input_max_v != null
	volts > kind.input_max_v * (1 + tolerance)
	found := {
		"rule": "voltage/overvoltage",
		"subject": luminaire.id,
		"measured": volts,
		"limit": kind.input_max_v,
		"message": sprintf("%s gets %v V; its highest input voltage is %v V", [luminaire.id, volts, kind.input_max_v]),
	}
}

findings contains found if {
	some i, luminaire in input.luminaires
	drop := input.judged.luminaires[i].node.drop_percent
	drop != null
	drop > 5 * (1 + tolerance)
	found := {
		"rule": "voltage/excess-drop",
		"subject": luminaire.id,
		"measured": drop,
		"limit": 5,
		"message": sprintf("%v %% of the voltage of %s is lost on the way; the limit is 5 %%", [drop, luminaire.id]),
	}
}

findings contains found if {
	some i, supply in input.supplies
	some rated in input.supply_types[supply.kind].rating
	state := input.judged.supplies[i]
	loading := (max([state.load_va, state.nameplate_va]) / rated) * 100
	loading > 80 * (1 + tolerance)
	found := {
		"rule": "loading/overloaded-supply",
		"subject": supply.id,
		"measured": loading,
		"limit": 80,
		"message": sprintf("%s is loaded to %v %% of its rating; the limit is 80 %%", [supply.id, loading]),
	}
}

findings contains found if {
	some supply in input.supplies
	height := supply.mount_height
	height != null
	inches := height.metres / 0.0254
	inches < 12 * (1 - tolerance)
	found := {
		"rule": "feed/low-mounting",
		"subject": supply.id,
		"measured": inches,
		"limit": 12,
		"message": sprintf("the underside of %s is %v in above grade; good practice is at least 12 in", [supply.id, inches]),
	}
}
