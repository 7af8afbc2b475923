"""Every sum there is, in the technician's words, each loaded only when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # naming the sums must not cost the decimals
    from hardstand.domain.readings.family import Family

CONTENTS: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...] = (
    (
        "dial",
        "The dial",
        (
            ("dial_error", "how far the dial is off on a known station"),
            ("dial_grain", "the same, for a dial read to a graduation: in, out, too close"),
            ("calibrator_harmonic", "which crystal marker this is, and how far off the dial"),
            ("zero_beat_bracket", "middle of the same pitch on both sides of zero beat"),
            ("beat_to_ppm", "a beat that is left, in parts per million"),
            ("beat_to_frequency", "an unknown from its beat with a marker"),
        ),
    ),
    (
        "receiver",
        "The receiver",
        (
            ("uv_dbm_50ohm", "generator microvolts in dBm"),
            ("dbm_uv_50ohm", "generator dBm in microvolts"),
            ("snn_power", "signal against noise from output power"),
            ("snn_volts", "signal against noise from output volts"),
            ("audio_power_volts", "volts on the output meter for so many milliwatts"),
        ),
    ),
    (
        "frequency",
        "The transmitter's frequency",
        (
            ("tolerance_hz", "a tolerance in hertz"),
            ("frequency_verdict", "a counted frequency against its tolerance"),
            ("crystal_to_channel", "the carrier a crystal gives"),
            ("channel_to_crystal", "the crystal a channel needs"),
            ("receiver_crystal", "receive crystal, oscillator and image of a channel"),
        ),
    ),
    (
        "modulation",
        "The transmitter's modulation",
        (
            ("modulation_envelope", "modulation from the envelope"),
            ("modulation_peaks", "upward and downward peaks, and over 100 %"),
            ("modulation_power", "current and power that go with a modulation"),
            ("modulation_from_current", "modulation from the rise of antenna current"),
        ),
    ),
    (
        "feeder",
        "Feeder and antenna",
        (
            ("swr_table", "a standing-wave ratio as return loss and lost power"),
            ("swr_from_power", "standing-wave ratio from forward and reflected power"),
            ("swr_through_line", "the ratio at the antenna behind a lossy feeder"),
            ("line_loss", "power left at the end of a feeder"),
            ("watts_dbm", "watts in dBm"),
        ),
    ),
    (
        "channel",
        "VHF channels",
        (
            ("vhf_channel", "carrier and spacing of a six-digit channel name"),
            ("vhf_entry_parse", "the channel meant by what was typed"),
            ("vhf_carrier_to_names", "the names that share a carrier"),
            ("test_channel", "may a test go out on it"),
        ),
    ),
    (
        "report",
        "What the tower said",
        (
            ("report_scale", "what a readability digit means"),
            ("test_transmission", "was the test call short enough"),
            ("shared_fault", "what several bad ones share: look there first"),
        ),
    ),
    (
        "range_filter",
        "The range filter",
        (
            ("range_filter", "BOTH, RANGE, VOICE, BOTH: what four hearings prove"),
            ("range_filter_pointer", "where to look when code and voice were on the air"),
        ),
    ),
    (
        "morse",
        "Morse and idents",
        (
            ("morse_code", "dots and dashes of a letter"),
            ("morse_timing", "how long a text takes to send"),
            ("morse_unit", "dot and dash at a speed"),
            ("ident_match", "is it the ident of the list"),
        ),
    ),
    (
        "electrical",
        "Supply, wiring and bonding",
        (
            ("bus_voltage", "bus volts against their limits"),
            ("sg_temperature", "a hydrometer reading at 80 °F"),
            ("sg_to_charge", "charge from specific gravity"),
            ("ocv_to_charge", "charge from rested volts"),
            ("voltage_drop", "volts lost along a wire"),
            ("bond_millivolt", "a bond by its millivolt drop"),
        ),
    ),
    (
        "battery",
        "Battery and time on it",
        (
            ("battery_usable", "ampere-hours before the reserve"),
            ("ah_budget", "what the loads draw"),
            ("minutes_left", "minutes left at a current, rounded down"),
        ),
    ),
    (
        "inspection",
        "Wire and lockwire",
        (
            ("strand_damage", "nicked and broken strands"),
            ("lockwire_twists", "twists to the inch"),
        ),
    ),
    (
        "hazard",
        "Radiation and noise",
        (
            ("mpe_limits", "exposure limits at a frequency"),
            ("rf_distance", "how far to stay from the antenna"),
            ("noise_time", "how long a noise may be borne"),
        ),
    ),
    (
        "bearings",
        "Bearings",
        (
            ("vor_check", "a VOR bearing against its limit"),
            ("adf_check", "an ADF bearing against its limit"),
            ("vor_currency", "does a VOR check still hold"),
        ),
    ),
    (
        "stations",
        "Stations",
        (("am_channel", "is this a broadcast channel of the plan"),),
    ),
    (
        "limits",
        "Any reading",
        (("limits", "a reading against two limits and the grain of its scale"),),
    ),
)
"""Module, heading and (name, what it is for) of every sum, in the order of the work."""

_HOME = {name: module for module, _, sums in CONTENTS for name, _ in sums}
WORDS: Mapping[str, str] = {name: words for _, _, sums in CONTENTS for name, words in sums}


class _Registry(Mapping[str, "Family"]):
    """Name → family; looking one up loads its module, naming them all loads none."""

    def __getitem__(self, name: str) -> Family:
        module = import_module(f"hardstand.domain.readings.{_HOME[name]}")
        families: Mapping[str, Family] = module.FAMILIES
        return families[name]

    def __iter__(self) -> Iterator[str]:
        return iter(_HOME)

    def __len__(self) -> int:
        return len(_HOME)


REGISTRY: Mapping[str, Family] = _Registry()
