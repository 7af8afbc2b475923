"""What must be true of a fit: every finding verbatim."""

from __future__ import annotations

from formats.small_files import FIT, FLEET, Bent, bent, cases
from hardstand.domain.fleet import Fleet
from hardstand.formats import fit_yaml, fleet_yaml


@cases(
    bent(
        "a function fed by an unknown unit is refused",
        "fed_by: [TR-V]}",
        "fed_by: [TR-X]}",
        "8:35: HS201 the fit has no unit 'TR-X' | nearest: TR-V; accepted: TR-V, DYN-V",
    ),
    bent(
        "a control on an unknown unit is refused",
        "unit: TR-V}",
        "unit: FIL}",
        "28:51: HS201 the fit has no unit 'FIL' | accepted: TR-V, DYN-V",
    ),
    bent(
        "an item that cannot come home is refused",
        "      - {from: OPEN, to: SHUT}\n",
        "      - {from: OPEN, to: AJAR}\n",
        "19:3: HS202 'panel' has no way home from 'AJAR' | add an action that leads from AJAR "
        "to SHUT, with only_with what it needs",
        "19:3: HS202 'panel' has no way home from 'OPEN' | add an action that leads from OPEN "
        "to SHUT, with only_with what it needs",
    ),
    bent(
        "an action that needs an unknown item is refused",
        "only_with: {panel: SHUT}",
        "only_with: {pannel: SHUT}",
        "17:41: HS203 the fit has no item 'pannel' | nearest: panel; accepted: battery, panel, "
        "tools",
    ),
    bent(
        "an action that needs an unknown value is refused",
        "only_with: {panel: SHUT}",
        "only_with: {panel: CLOSED}",
        "17:48: HS204 'CLOSED' is no value of 'panel' | accepted: SHUT, OPEN",
    ),
    bent(
        "a forbidden combination with an unknown item is refused",
        "{battery: ON, panel: OPEN}",
        "{batery: ON, panel: OPEN}",
        "30:6: HS203 the fit has no item 'batery' | nearest: battery; accepted: battery, "
        "panel, tools",
    ),
    bent(
        "a forbidden combination with an unknown value is refused",
        "{battery: ON, panel: OPEN}",
        "{battery: 'on', panel: OPEN}",
        "30:15: HS204 'on' is no value of 'battery' | nearest: ON; accepted: OFF, ON",
    ),
    bent(
        "a forbidden combination with an unknown count is refused",
        "{battery: ON, panel: OPEN}",
        "{battery: ON, tools: some}",
        "30:26: HS204 'some' is no value of the count 'tools' | give a whole number",
    ),
    bent(
        "a combination of homes cannot be forbidden",
        "{battery: ON, panel: OPEN}",
        "{battery: OFF, panel: SHUT}",
        "30:5: HS211 this would forbid the aircraft with everything at home | name at least "
        "one item away from its home value",
    ),
    bent(
        "mission words out of order are refused",
        "needs: v.rx and v.tx",
        "needs: v.rx v.tx",
        "32:17: HS205 'v.tx' stands where 'and', 'or' or the end is expected | write functions "
        "and missions joined by 'and', 'or', 'atleast 2 of (a, b, c)'",
    ),
    bent(
        "a mission that ends too early is refused",
        "needs: v.rx and v.tx",
        "needs: v.rx and",
        "32:17: HS205 the text ends where a function or a mission is expected | write "
        "functions and missions joined by 'and', 'or', 'atleast 2 of (a, b, c)'",
    ),
    bent(
        "a bracket not closed is refused",
        "needs: v.rx and v.tx",
        "needs: (v.rx and v.tx",
        "32:17: HS205 a bracket is opened and not closed | write functions and missions joined "
        "by 'and', 'or', 'atleast 2 of (a, b, c)'",
    ),
    bent(
        "atleast without a list is refused",
        "needs: v.rx and v.tx",
        "needs: atleast 2 of v.rx",
        "32:17: HS205 'atleast' needs a number, 'of' and a list in brackets | write functions "
        "and missions joined by 'and', 'or', 'atleast 2 of (a, b, c)'",
    ),
    bent(
        "atleast more than there are is refused",
        "{needs: v.rx and v.tx}",
        "{needs: 'atleast 3 of (v.rx, v.tx)'}",
        "32:17: HS205 'atleast 3' of a list of 2 can never be met | write functions and "
        "missions joined by 'and', 'or', 'atleast 2 of (a, b, c)'",
    ),
    bent(
        "a sign that is no word is refused",
        "needs: v.rx and v.tx",
        "needs: v.rx & v.tx",
        "32:17: HS205 '&' stands where 'and', 'or' or the end is expected | write functions "
        "and missions joined by 'and', 'or', 'atleast 2 of (a, b, c)'",
    ),
    bent(
        "a mission that needs an unknown name is refused",
        "needs: v.rx and v.tx",
        "needs: v.rx and v.rt",
        "32:17: HS206 'v.rt' is neither a function nor a mission of the fit | nearest: v.tx; "
        "accepted: v.rx, v.tx, MAIL, FERRY",
    ),
    bent(
        "missions that need each other are refused",
        "needs: v.rx and v.tx",
        "needs: FERRY and v.tx",
        "32:17: HS207 missions need each other in a ring: MAIL needs FERRY needs MAIL | take "
        "one of them out of the needs of another",
    ),
    bent(
        "a mission that needs itself is refused",
        "needs: v.rx and v.tx",
        "needs: MAIL and v.tx",
        "32:17: HS207 missions need each other in a ring: MAIL needs MAIL | take one of them "
        "out of the needs of another",
    ),
    bent(
        "a mission limited by an unknown function is refused",
        "limited_by: [v.tx]",
        "limited_by: [v.xx]",
        "33:45: HS208 the fit has no function 'v.xx' | nearest: v.tx; accepted: v.rx, v.tx",
    ),
    bent(
        "a mission that needs nothing and has no limits is refused",
        "{needs: v.rx and v.tx}",
        "{by_day: true}",
        "32:3: HS216 'MAIL' needs nothing and has no limits | give `needs`, or under "
        "`with_limits` what takes the place of the set",
    ),
    bent(
        "a mission that is never flown and needs something is refused",
        "{needs: v.rx and v.tx}",
        "{needs: v.rx, never: no such set}",
        "32:3: HS216 'MAIL' is never flown with this fit and says more besides | take `never` "
        "out, or leave only `never`",
    ),
    bent(
        "a mission may need nothing where its limits stand",
        "{needs: v.rx and v.tx}",
        "{by_day: true, with_limits: [light signals]}",
    ),
    bent(
        "a mission may say why this fit never flies it",
        "{needs: v.rx and v.tx}",
        "{never: no low-frequency receiver}",
    ),
    bent(
        "an id with other characters is refused",
        "id: V\n",
        "id: V 1\n",
        "2:5: HS209 the id 'V 1' holds other characters | accepted: A-Z a-z 0-9 and . _ - "
        "after the first sign",
    ),
    bent(
        "a look-alike letter in a name is refused",
        "  lever: {plate",
        "  l\u0435ver: {plate",
        "28:3: HS209 the name 'l\u0435ver' holds other characters | accepted: A-Z a-z 0-9 and "
        ". _ - after the first sign",
    ),
    bent(
        "a name that is a mission word is refused",
        "  FERRY: {needs",
        "  or: {needs",
        "33:3: HS209 the name 'or' is a word of the mission language | choose another name "
        "than: and, atleast, not, of, or",
    ),
    bent(
        "an action that moves nothing is refused",
        "{from: ON, to: OFF}",
        "{from: ON, to: OFF}\n      - {from: ON, to: ON}",
        "19:9: HS210 from 'ON' to 'ON' moves nothing | give two values",
    ),
    bent(
        "a count with a word for home is refused",
        "home: 0}",
        "home: none}",
        "26:44: HS212 the count 'tools' has the home 'none' | give a whole number; usually 0",
    ),
    bent(
        "TV 3.17: a permitted item looser than the master list is refused",
        "category: D, condition: none",
        "category: D, master: C, condition: none",
        "35:39: HS217 category D gives more time than the master list's C | accepted: A, B, C",
    ),
    bent(
        "a control named like a unit is refused",
        "  lever: {plate",
        "  TR-V: {plate",
        "28:3: HS214 'TR-V' stands under controls and under units (the other on line 5) | a "
        "step or a mission could mean either; rename one",
    ),
    bent(
        "a mark that is not well formed in a title is refused",
        "title: panel {bay.panel}",
        "title: panel {bay}",
        "20:12: HS246 a mark that is not well formed: 'panel {bay}' | write {place.part}, such "
        "as {radio_compartment.panel}; no other { or }",
    ),
    bent(
        "a title with a mark no type has is refused",
        "title: panel {bay.panel}",
        "title: panel {bay.pannel}",
        "20:12: HS247 type 'Pask 4' has no part for '{bay.pannel}' | nearest: panel; accepted: "
        "panel, fasteners",
        "20:12: HS247 type 'Pask 6' has no part for '{bay.pannel}' | nearest: panel; accepted: "
        "panel, fasteners",
    ),
    bent(
        "two errors of meaning are told at once",
        "fed_by: [TR-V, DYN-V]}\nitems:\n  battery:\n    title: BATTERY switch\n    kind: "
        "energy\n    home: OFF",
        "fed_by: [TR-V, DYN]}\nitems:\n  battery:\n    title: BATTERY switch\n    kind: "
        "energy\n    home: AWAY",
        "9:42: HS201 the fit has no unit 'DYN' | nearest: DYN-V; accepted: TR-V, DYN-V",
        "11:3: HS202 'battery' has no way home from 'OFF' | add an action that leads from OFF "
        "to AWAY, with only_with what it needs",
        "11:3: HS202 'battery' has no way home from 'ON' | add an action that leads from ON to "
        "AWAY, with only_with what it needs",
    ),
)
def test_each_change_to_a_good_fit_is_told_in_full(case: Bent) -> None:
    fleet = fleet_yaml.parse("fleet.yaml", FLEET.encode())
    assert isinstance(fleet, Fleet)
    found = fit_yaml.against(fit_yaml.read("x.yaml", case.of(FIT)), fleet.types).findings
    assert tuple(finding.text() for finding in found) == case.says
