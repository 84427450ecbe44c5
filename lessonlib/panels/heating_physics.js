// The closed forms of a heating run between two events: the twins of heat/segment.py, vessel.py and
// contacts.py.

const ZERO_C_IN_K = 273.15;

// Modes in which heat goes into steam, and the temperature stands still.
export const HELD = ["boiling", "venting"];

// How much warmer it is after some seconds, K, when `net_W` is the net heat at their start.
export function riseK(net_W, loss_W_per_K, capacity_J_per_K, seconds) {
  if (loss_W_per_K === 0) return (net_W * seconds) / capacity_J_per_K;
  return (net_W / loss_W_per_K) * -Math.expm1((-loss_W_per_K * seconds) / capacity_J_per_K);
}

// Seconds until it is `rise` K warmer (colder where negative); infinite if it never is.
export function secondsTo(rise, net_W, loss_W_per_K, capacity_J_per_K) {
  if (net_W === 0 || rise > 0 !== net_W > 0) return Infinity;
  const share = (loss_W_per_K * rise) / net_W; // of the way to the steady temperature
  if (share >= 1) return Infinity;
  if (share < 1e-300) return (capacity_J_per_K * rise) / net_W; // no losses to speak of
  return (-capacity_J_per_K / loss_W_per_K) * Math.log1p(-share);
}

// Gauge pressure in the vessel, bar. `steam_C` is the hottest it has been since it boiled dry, or
// null if it has not. Below that temperature its steam follows the gas law until it condenses.
export function pressureBar(vessel, temperature_C, steam_C) {
  const { saturation, held_C, relief_bar, atmosphere_Pa } = vessel;
  if (!saturation || temperature_C < 50) return 0; // it boils nowhere below that
  const full_C = steam_C ?? held_C;
  if (full_C !== null && temperature_C >= full_C) return relief_bar;
  const wet = held_C === null || temperature_C < held_C;
  let absolute_Pa = wet ? saturated_Pa(saturation, temperature_C) : Infinity;
  if (steam_C !== null) {
    const share = (temperature_C + ZERO_C_IN_K) / (steam_C + ZERO_C_IN_K);
    absolute_Pa = Math.min(absolute_Pa, share * (atmosphere_Pa + relief_bar * 1e5));
  }
  return Math.max((absolute_Pa - atmosphere_Pa) / 1e5, 0);
}

// Pressure of saturated steam, as in water.py.
function saturated_Pa([n1, n2, n3, n4, n5, n6, n7, n8, n9, n10], temperature_C) {
  const kelvin = temperature_C + ZERO_C_IN_K;
  const theta = kelvin + n9 / (kelvin - n10);
  const a = theta ** 2 + n1 * theta + n2;
  const b = n3 * theta ** 2 + n4 * theta + n5;
  const c = n6 * theta ** 2 + n7 * theta + n8;
  return 1e6 * ((2 * c) / (-b + Math.sqrt(b ** 2 - 4 * a * c))) ** 4;
}

// The temperature of dry steam at the pressure that water has at `wet_C`; see contacts.py.
export function overSteam(wet_C, share, steam_C) {
  if (share === null || steam_C === null) return wet_C;
  return Math.max(wet_C, Math.min(share * (steam_C + ZERO_C_IN_K) - ZERO_C_IN_K, steam_C));
}
