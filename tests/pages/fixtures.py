"""Sheets to look at and to test with: ordinary, longest and emptiest values.

The people, places, prices and figures are invented; nothing here is a worked example.
"""

from __future__ import annotations

from dataclasses import replace

from packet.sheets import views as v

FRAME = v.Frame(
    job_number="ALD-0417",
    title="Charging receptacle in the attached garage",
    edition="NEC 2023",
    stamp="7F3A-91",
    issued="2026-09-14",
    revision="1",
    version="0.1.0",
    code_book="7F3A-91C0",
    address="31 Tamarack Lane, Alder Point",
    prepared_by="Rosalind Achterberg",
    phone="555-0142",
)

LONG_FRAME = replace(
    FRAME,
    job_number="MARSHFIELD-2026-000417",
    title="Charging receptacle, disconnect and feeder to the detached workshop behind the "
    "carriage house at the end of the lane",
    revision="12, replaces all earlier ones",
)

ONE_LINE_SYMBOLS = (
    v.Symbol("utility", "1", "Utility supply", "240 V, 6.2 kA available"),
    v.Symbol("meter", "2", "Meter", "200 A"),
    v.Symbol(
        "breaker",
        "3",
        "Main breaker",
        "200 A, 10 kA",
        enclosure="Panel A, garage",
        sides=(
            v.SideSymbol(
                "electrode", "4", "Grounding electrode", "4 AWG copper", conductor="4 AWG copper"
            ),
            v.SideSymbol("bonding", "5", "Main bonding jumper", inside=True),
        ),
    ),
    v.Symbol(
        "bus",
        "6",
        "Bus",
        "200 A",
        enclosure="Panel A, garage",
        sides=(v.SideSymbol("loads", "7", "Existing circuits", inside=True),),
    ),
    v.Symbol("breaker", "8", "Branch breaker", "50 A, GFCI", "new", enclosure="Panel A, garage"),
    v.Symbol(
        "receptacle",
        "9",
        "Receptacle",
        "14-50R, 50 A",
        "new",
        conductor="6/3 NM-B with 10 AWG ground, 38 ft",
        run="6/3 NM-B with ground",
    ),
)

LIVE = v.Hazard(
    "danger",
    "The lugs above the main breaker stay live with the main off.",
    "Touching them can kill you at once.",
    "Keep hands and tools out of the upper gutter.",
)
DUST = v.Hazard(
    "caution",
    "Drilling throws chips.",
    "They can hurt your eyes.",
    "Keep your glasses on until the drill is put away.",
)
SHARP = v.Hazard(
    "warning",
    "A drill bit can meet a live cable in the wall.",
    "You can be shocked through the drill.",
    "Drill only where both sides were looked at.",
)
DENT = v.Hazard(
    "notice",
    "A sharp bend breaks the cable jacket.",
    "The cable must then be replaced.",
    "Bend it around your knee, never over an edge.",
)

GATE_DEAD = v.Gate(
    "proved_dead",
    "1",
    "Proved dead",
    (
        "all three readings F-2, F-3 and F-4 are inside their band",
        "the lock is on and its key is in your pocket",
    ),
    ("any reading is outside its band", "you cannot tell which breaker feeds what"),
    (
        v.Blank("Highest reading", "V"),
        v.Blank("Name", size="name"),
        v.Blank("Time"),
    ),
)
GATE_LIVE = v.Gate(
    "before_power",
    "4",
    "Before power is turned on",
    ("every dead reading is inside its band", "the torque sheet is complete"),
    ("any row of sheet E or F is blank",),
    (
        v.Blank("Name", size="name", key="name"),
        v.Blank("Date (YYYY-MM-DD)", size="date", key="date"),
        v.Blank("Time", key="time"),
    ),
)

KEY_VALUES = (
    v.KeyValue("Circuit", "240 V, 50 A", "calc", "L-1"),
    v.KeyValue("Breaker", "50 A, 2 poles, GFCI", "calc", "L-4"),
    v.KeyValue("Conductor", "6 AWG copper", "calc", "L-9"),
    v.KeyValue("Wiring method", "NM-B cable", "given", "job file"),
    v.KeyValue("Outlet", "14-50R", "given", "job file"),
    v.KeyValue("Run length", "38 ft", "given", "job file"),
    v.KeyValue("Calculated load", "132 A", "calc", "K line 12"),
    v.KeyValue("Service rating", "200 A", "label", "main breaker"),
    v.KeyValue("Voltage drop", "1.1 %", "calc", "L-17"),
    v.KeyValue("Permit", "needed", "given", "permit office"),
)

SUMMARY = v.Summary(
    address="31 Tamarack Lane, Alder Point",
    owner="Rosalind Achterberg",
    work_by="owner",
    planned_start="2026-10-10",
    outcome=v.Outcome.READY,
    reasons=(
        v.Reason("The service has 68 A left; the new circuit takes 40 A.", "K line 12"),
        v.Reason("The 6 AWG conductor carries 55 A; the circuit asks for 50 A.", "L-9"),
    ),
    first=(),
    key_values=KEY_VALUES,
    hours="7 h to 9 h",
    trips="2, one to order ahead",
    cost="$ 418.36",
    people="1, and one more to pull the cable",
    power_off="3 h, steps F4 to P4",
)

BUY = v.Buy(
    trips=(
        v.Trip(
            "Hardware store",
            (
                v.BuyItem(
                    "Cable, NM-B, 6/3 with ground",
                    "NM-B 6/3 with ground, 600 V",
                    "longer is fine; never a smaller size, never UF-B indoors at this rating",
                    "65 ft",
                    "58 ft",
                    "$ 3.42",
                    "$ 222.30",
                ),
                v.BuyItem(
                    "Outlet box, metal, 2 gangs, deep",
                    "42 in³ or more, stamped inside",
                    "any listed metal box of the same volume or more",
                    "1",
                    "",
                    "$ 11.80",
                    "$ 11.80",
                ),
                v.BuyItem(
                    "Cable clamp for 6/3 cable",
                    "trade size and cable range that takes 6/3",
                    "",
                    "2",
                    "",
                    "$ 2.15",
                    "$ 4.30",
                ),
            ),
            "$ 238.40",
            "$ 14.90",
            "$ 253.30",
        ),
        v.Trip(
            "Electrical supply house",
            (
                v.BuyItem(
                    "Breaker, 50 A, 2 poles, GFCI",
                    "the type letters printed inside the panel door, 50 A, 10 kA",
                    "none but a type that the panel label names",
                    "1",
                    "",
                    "$ 128.00",
                    "$ 128.00",
                    "4 days",
                ),
            ),
            "$ 128.00",
            "$ 8.00",
            "$ 136.00",
            order_by="2026-10-02",
        ),
    ),
    tax_rate="6.25 %",
    total="$ 389.30",
    prices_dated="2026-09-12",
)

CARRY = v.Carry(
    protective=(
        v.Tool("Safety glasses", "2.1 to 2.6, 4.1 to 4.9", "No crack; marked Z87"),
        v.Tool(
            "Insulating gloves, class 0, with leather over them",
            "1.5 to 1.9, 8.1 to 8.4",
            "Roll the cuff: no air leaks out. Test date not passed.",
            v.Blank("Test date (YYYY-MM-DD)", size="date"),
        ),
    ),
    tools=(
        v.Tool(
            "Voltage meter, CAT III, 600 V or more",
            "1.6 to 1.9, 5.1 to 5.5, 8.1 to 8.4",
            "Reads a known live source before and after.",
        ),
        v.Tool(
            "Torque screwdriver, 10 to 50 lbf·in",
            "4.7, 4.8",
            "Calibration date not passed.",
            v.Blank("Calibrated until (YYYY-MM-DD)", size="date"),
        ),
    ),
)


def _step(phase: int, number: int, **more: object) -> v.Step:
    return v.Step(f"{phase}.{number}", "Strip", "the jacket from the last foot of cable.", **more)


PROCEDURE = v.Procedure(
    purpose="Add one charging receptacle on its own circuit from Panel A.",
    who_may="The owner who lives here, with a permit. Ask your office if you rent.",
    ends_if=(
        "a part is damaged or wet",
        "the panel does not look like sheet J",
        "daylight or your strength runs out",
    ),
    phases=(
        v.Phase(
            "1",
            "Make dead and prove it",
            "garage",
            "The main goes off; its supply side stays live.",
            ("lock and tag", "meter from sheet C", "headlamp"),
            (
                v.Step("1.1", "Tell", "everyone in the house that the power goes off now."),
                v.Step(
                    "1.2", "Turn", "the main breaker to OFF.", expect="lamps in the garage go out"
                ),
                v.Step(
                    "1.3",
                    "Lock",
                    "the main breaker at OFF.",
                    why="Nobody can turn it on by mistake.",
                ),
                v.Step(
                    "1.4",
                    "Measure",
                    "the known live source.",
                    expect="120 V (114 to 126 V)",
                    branches=(
                        v.Branch(
                            "the reading is outside", "change the meter and repeat step", "1.4"
                        ),
                    ),
                    blanks=(v.Blank("Reading F-1", "V"),),
                ),
                v.Step(
                    "1.5",
                    "Remove",
                    "the cover of the panel.",
                    hazards=(LIVE,),
                    note="Four screws; hold the cover with one hand.",
                ),
                v.Step(
                    "1.6",
                    "Measure",
                    "from one load-side main lug to the other.",
                    expect="0 V (0 to 1 V)",
                    branches=(
                        v.Branch(
                            "the reading is above 1 V",
                            "put the cover back, stop, and call a licensed electrician",
                        ),
                    ),
                    blanks=(v.Blank("Reading F-2", "V"),),
                ),
                GATE_DEAD,
            ),
            "the gate above is signed.",
            "A reading is outside its band: stop.",
            (LIVE,),
        ),
        v.Phase(
            "2",
            "Pull the cable",
            "attic and garage",
            "House on.",
            ("drill, cable, staples",),
            (
                v.Step(
                    "2.1",
                    "Drill",
                    "the hole through the top plate.",
                    hazards=(DUST, SHARP),
                    why="Back from the face of the wood no nail meets the cable.",
                    cannot_be_undone=True,
                ),
                v.Step(
                    "2.2", "Pull", "the cable from the panel to the outlet box.", hazards=(DENT,)
                ),
                *(_step(2, number) for number in range(3, 12)),
            ),
            "38 ft of cable is in place and every staple is set.",
            "The sheath is damaged: stop.",
        ),
        v.Phase(
            "3",
            "Turn on",
            "garage",
            "The main goes on.",
            (),
            (
                GATE_LIVE,
                v.Step(
                    "3.1", "Turn", "the new breaker to ON.", cannot_be_undone=True, hazards=(LIVE,)
                ),
            ),
            "all live readings are inside their band.",
            "A breaker trips: stop.",
        ),
    ),
)

TORQUE = v.Torque(
    groups=(
        v.TorqueGroup(
            "At Panel A",
            (
                v.TorqueRow(
                    "1",
                    "Equipment grounding bar",
                    "10 AWG copper",
                    "25 lbf·in",
                    "label",
                    unit="lbf·in",
                ),
                v.TorqueRow(
                    "2", "Neutral bar", "6 AWG copper", "45 lbf·in", "label", unit="lbf·in"
                ),
                v.TorqueRow(
                    "3",
                    "Breaker, upper lug",
                    "6 AWG copper",
                    "",
                    "label, not read yet",
                    "45 lbf·in",
                ),
                v.TorqueRow(
                    "4",
                    "Breaker, lower lug",
                    "6 AWG copper",
                    "",
                    "label, not read yet",
                    "45 lbf·in",
                ),
            ),
        ),
        v.TorqueGroup(
            "At the outlet box",
            tuple(
                v.TorqueRow(
                    str(number),
                    f"Receptacle, {name}",
                    "6 AWG copper",
                    "75 lbf·in",
                    "instruction sheet",
                    unit="lbf·in",
                )
                for number, name in enumerate(("ground", "neutral", "X", "Y"), 5)
            ),
        ),
    ),
    again="Do not tighten a finished terminal again without loosening it first.",
)

READINGS = v.Readings(
    groups=(
        v.ReadingGroup(
            "Dead: main breaker off and locked",
            (
                v.Reading(
                    "1",
                    "V, AC",
                    "known live slot",
                    "its neutral",
                    "114 to 126 V",
                    "V",
                    "change the meter, start again at A4",
                ),
                v.Reading(
                    "2",
                    "V, AC",
                    "main lug left",
                    "main lug right",
                    "0 to 1 V",
                    "V",
                    "close up, call a licensed electrician",
                ),
                v.Reading(
                    "3",
                    "Ω",
                    "receptacle ground",
                    "panel ground bar",
                    "0 to 0.5 Ω",
                    "Ω",
                    "go to D4, look for a loose ground",
                ),
                v.Reading("4", "MΩ", "X slot", "ground", "", "MΩ", "do not energize; go to E6"),
            ),
        ),
        v.ReadingGroup(
            "Live: new breaker on",
            (
                v.Reading(
                    "5",
                    "V, AC",
                    "X slot",
                    "Y slot",
                    "228 to 252 V",
                    "V",
                    "turn the breaker off, go to A1",
                ),
                v.Reading(
                    "6",
                    "V, AC",
                    "X slot",
                    "neutral slot",
                    "114 to 126 V",
                    "V",
                    "turn the breaker off, go to A1",
                ),
            ),
            hazards=(LIVE,),
            gate=GATE_LIVE,
        ),
    )
)

PERMIT = v.Permit(
    office="Alder Point building office",
    phone="555-0142",
    fee="$ 95.00",
    documents=(
        v.PermitDocument("application", "Application form of the office"),
        v.PermitDocument("one_line", "One-line diagram", "H"),
        v.PermitDocument("load", "Load worksheet", "K"),
    ),
    questions=(
        v.PermitQuestion("owner", "May the owner do this work?"),
        v.PermitQuestion("early_rule", "Is an early GFCI rule in force here?"),
    ),
    stages=(
        v.Stage(
            "rough",
            "Rough-in inspection",
            (
                v.InspectionItem(
                    "stapled",
                    "The cable is stapled near each box and along its way.",
                    "334.30",
                    "D",
                ),
                v.InspectionItem(
                    "plates",
                    "The cable is back from the face of each stud, or a plate covers it.",
                    "300.4(A)(1)",
                    "D",
                ),
                v.InspectionItem("box", "The box is large enough.", "314.16(B)", "L"),
            ),
        ),
        v.Stage(
            "final",
            "Final inspection",
            (
                v.InspectionItem(
                    "breaker",
                    "The new breaker is of a type the panel label names.",
                    "110.3(B)",
                    "B",
                ),
                v.InspectionItem(
                    "gfci", "The charging receptacle is protected by a GFCI.", "210.8(A)", "F"
                ),
                v.InspectionItem(
                    "directory",
                    "The directory names the new circuit.",
                    "408.4(A)",
                    "J",
                    ask_office=True,
                ),
            ),
        ),
    ),
)

ONE_LINE = v.OneLine(ONE_LINE_SYMBOLS)


def _same(number: int, text: str) -> v.DirectoryRow:
    return v.DirectoryRow(str(number), v.DirectoryCell(text), v.DirectoryCell(text))


DIRECTORY = v.Directory(
    panel="Panel A",
    location="garage",
    fed_from="utility",
    rating="200 A, 120/240 V",
    left=(
        v.DirectoryRow(
            "1",
            v.DirectoryCell("30 A Dryer, laundry", 2),
            v.DirectoryCell("30 A Dryer, laundry", 2),
        ),
        v.DirectoryRow("3", None, None),
        *(_same(number, f"20 A Kitchen counter, wall {number}") for number in range(5, 20, 2)),
        v.DirectoryRow(
            "21",
            v.DirectoryCell("blank"),
            v.DirectoryCell("50 A Car charging receptacle, garage", 2, "new"),
        ),
        v.DirectoryRow("23", v.DirectoryCell("blank"), None),
        *(_same(number, "spare") for number in (25, 27, 29)),
    ),
    right=tuple(_same(number, f"15 A Lights, bedroom {number}") for number in range(2, 31, 2)),
)

LOAD = v.LoadWorksheet(
    floor_area="1,840 ft²",
    service="200 A",
    why_governs="Taken because the dwelling has one service of 100 A or more.",
    methods=(
        v.LoadMethod(
            "Optional method",
            "220.82",
            True,
            (
                v.LoadLine(
                    "1", "General lighting", "1,840 ft² × 3 VA/ft²", "5,520 VA", "220.82(B)(1)"
                ),
                v.LoadLine(
                    "2", "Small appliance circuits", "2 × 1,500 VA", "3,000 VA", "220.82(B)(2)"
                ),
                v.LoadLine("3", "Range", "given", "12,000 VA", "nameplate"),
                v.LoadLine(
                    "4",
                    "Sum of general loads",
                    "lines 1 to 3",
                    "20,520 VA",
                    "220.82(B)",
                    "subtotal",
                ),
                v.LoadLine("5", "First part at 100 %", "10,000 VA × 1", "10,000 VA", "220.82(B)"),
                v.LoadLine("6", "Rest at 40 %", "10,520 VA × 0.4", "4,208 VA", "220.82(B)"),
                v.LoadLine("7", "Calculated load", "lines 5 and 6", "14,208 VA", "220.82", "total"),
                v.LoadLine("8", "In amperes", "14,208 VA ÷ 240 V", "59.2 A", "220.82", "total"),
            ),
            "200 A",
            "59.2 A",
            "140.8 A",
            True,
        ),
        v.LoadMethod(
            "Measured demand",
            "220.87",
            False,
            (v.LoadLine("1", "Highest demand", "given", "", "utility record"),),
            "200 A",
            "",
            "",
            None,
        ),
    ),
    not_used=(v.MethodNotUsed("Existing dwelling", "220.83", "the air conditioning is new"),),
    room=(v.Fact("Largest continuous current", "112 A", "L-22"),),
)

CALCULATIONS = v.Calculations(
    findings=(
        v.Finding(
            "Does the breaker rating cover the continuous load?",
            "50 A covers the required 50 A.",
            "meets",
            "NEC 2023 210.20(A)",
        ),
        v.Finding(
            "May the owner do the work?",
            "Not known. The building office can tell.",
            "ask",
            "local rule",
        ),
    ),
    groups=(
        v.CalculationGroup(
            "Overcurrent protection",
            (
                v.Calculation(
                    "L-1",
                    "Smallest rating of the breaker",
                    "k_c × I_c + I_n",
                    "1.25 × 40 A + 0 A",
                    (
                        v.CalculationInput(
                            "k_c", "factor on continuous load", "1.25", "NEC 2023 210.20(A)"
                        ),
                        v.CalculationInput("I_c", "continuous load", "40 A", "given"),
                        v.CalculationInput("I_n", "other load", "0 A", "given"),
                    ),
                    "50 A",
                    "NEC 2023 210.20(A)",
                    "50 A, the breaker",
                    "fits",
                    "A, D-4.3, E-3",
                ),
                v.Calculation(
                    "L-2",
                    "Ampacity in the table",
                    "",
                    "",
                    (v.CalculationInput("", "size", "6 AWG", "L-1"),),
                    "55 A",
                    "NEC 2023 Table 310.16, 6 AWG, copper, 60 °C",
                ),
            ),
        ),
    ),
    unconfirmed=(
        v.Unconfirmed(
            "Reactance in PVC",
            "NEC 2023 Chapter 9, Table 9",
            "from memory; ρ and Ω as in the edition before",
        ),
    ),
)

AS_BUILT = v.AsBuilt(
    (
        v.AsBuiltGroup(
            "Circuit",
            (
                v.AsBuiltRow("circuit.breaker", "1", "New breaker", "50 A, GFCI", "B"),
                v.AsBuiltRow("circuit.conductors", "2", "Circuit conductors", "6 AWG", "E"),
            ),
        ),
        v.AsBuiltGroup(
            "Readings",
            (
                v.AsBuiltRow("readings.lines", "3", "L1 to L2, no load", "228 to 252 V", "F-5"),
                v.AsBuiltRow("readings.others", "4", "Other readings", "none", "F"),
            ),
        ),
    )
)

SCOPE = v.Scope(
    kind="offer",
    intro="This sheet tells what is done and for how much.",
    contractor=v.Party("Ferngate Electric", "8 Mill Road, Alder Point", "555-0160", "EC-20417"),
    client=v.Party("Rosalind Achterberg", "31 Tamarack Lane, Alder Point", "555-0117"),
    address="31 Tamarack Lane, Alder Point",
    valid_until="2026-10-31",
    starts="2026-10-10",
    ends="2026-10-12",
    work=(
        v.WorkItem(
            "Run a new cable of 38 ft from the panel to the garage wall.",
            "a cable stapled along the joists",
        ),
        v.WorkItem(
            "Set a 50 A receptacle for car charging.",
            "a receptacle with cover plate at the garage door",
        ),
        v.WorkItem("Test and label the circuit.", "the filled test form and a new panel directory"),
    ),
    included=("Materials of the list", "Permit and two inspections", "Taking away old parts"),
    not_included=(
        "Painting and patching of walls",
        "The car charger",
        "Repair of faults found on the way",
    ),
    assumptions=(
        v.Assumption(
            "The panel has two free spaces side by side.", "a change is priced before work goes on."
        ),
    ),
    open=(v.OpenQuestion("The fault current is not known.", "the utility"),),
    permit_by="the contractor gets it; its fee is in the price",
    power_off="first day, 3 h",
    materials="Listed parts, new, or equal in every marked rating.",
    prices=(
        v.PriceLine("Labor", "13 h at $ 80.00 an hour", "$ 1,040.00"),
        v.PriceLine("Materials", "", "$ 389.30"),
        v.PriceLine("Sales tax", "6.25 % of $ 389.30", "$ 24.33"),
        v.PriceLine("Permit fee", "", "$ 95.00"),
    ),
    total="$ 1,548.63",
    payments=(
        v.Payment("on acceptance", "30 %", "$ 464.59"),
        v.Payment("at the end", "70 %", "$ 1,084.04"),
    ),
    warranty="Two years on the work.",
)

PERMIT_SUMMARY = v.PermitSummary(
    description="Add one 50 A, 240 V branch circuit with 6 AWG copper NM-B cable, 38 ft, "
    "for a charging receptacle in the attached garage.",
    answers=(
        v.Answer("Address of the work", "31 Tamarack Lane, Alder Point"),
        v.Answer("Building", "one-family dwelling"),
        v.Answer("Parcel", ""),
        v.Answer("Owner", "Rosalind Achterberg"),
        v.Answer("License number", ""),
    ),
    rows=(
        v.PermitRow("Existing service", "200 A, 120/240 V single phase", "230.79(C)", "H"),
        v.PermitRow("Calculated load", "142 A of 200 A, optional method", "220.82", "K line 12"),
        v.PermitRow("Branch breaker", "50 A two-pole, GFCI", "210.20(A)", "L-2"),
        v.PermitRow("Conductors", "three 6 AWG copper", "210.19(A)(1)", "L-5"),
    ),
    open=("The fault current is not known.",),
)

ORDINARY = v.SheetSet(
    FRAME,
    v.Outcome.READY,
    (
        SUMMARY,
        BUY,
        CARRY,
        PROCEDURE,
        TORQUE,
        READINGS,
        PERMIT,
        ONE_LINE,
        DIRECTORY,
        LOAD,
        CALCULATIONS,
        AS_BUILT,
    ),
)
CLIENT = v.SheetSet(FRAME, v.Outcome.READY, (SCOPE,), v.Reader.CLIENT)
PERMIT_SET = v.SheetSet(
    FRAME,
    v.Outcome.READY,
    (PERMIT_SUMMARY, ONE_LINE, LOAD, replace(CALCULATIONS, for_review=True)),
    v.Reader.PERMIT,
)
SHORTFALL = v.SheetSet(
    FRAME,
    v.Outcome.DO_NOT_START,
    (
        replace(
            SUMMARY,
            outcome=v.Outcome.DO_NOT_START,
            reasons=(
                v.Reason(
                    "The calculated load of 118 A is above the 100 A service.",
                    "K line 12",
                    "set the charger to 16 A, or have the service changed",
                ),
                v.Reason(
                    "The panel has no two free spaces side by side.",
                    "L-4",
                    "have a licensed electrician look at a subpanel",
                ),
            ),
        ),
        LOAD,
        CALCULATIONS,
    ),
)

READY_IF = v.SheetSet(
    FRAME,
    v.Outcome.READY_IF,
    (
        replace(
            SUMMARY,
            outcome=v.Outcome.READY_IF,
            reasons=(),
            first=(
                v.OpenQuestion(
                    "May the owner do this work here?",
                    "the building office, 555-0142",
                    v.Blank("Answer"),
                ),
                v.OpenQuestion(
                    "Which fault current can the utility deliver at the service?",
                    "the utility",
                    v.Blank("Answer", "kA"),
                ),
                v.OpenQuestion(
                    "Which torque does the label of the breaker name?",
                    "the label on the part",
                    v.Blank("Answer", "lbf·in"),
                ),
                v.OpenQuestion(
                    "Does an early GFCI rule hold here?",
                    "the building office, 555-0142",
                    v.Blank("Answer"),
                ),
            ),
            key_values=KEY_VALUES[:3],
        ),
        *ORDINARY.sheets[1:],
    ),
)

# ------------------------------------------------------------- longest values a job may bring

_LONG = (
    "Insulating gloves with leather protectors over them, tested within the last six months and "
    "rolled up from the cuff to find pinholes"
)
_WORD = "XHHW-2/RHW-2/USE-2-copper-compact-stranded-gas-and-oil-resistant-II"

LONGEST = v.SheetSet(
    LONG_FRAME,
    v.Outcome.READY,
    (
        replace(
            SUMMARY,
            address="12345 Upper Marshfield Turnpike Extension, Building 14, Unit 207, "
            "North Alder Point Township",
            owner="Wilhelmina Oyelaran-Featherstonehaugh and Bartholomew Oyelaran-"
            "Featherstonehaugh",
            key_values=(
                *KEY_VALUES[:6],
                v.KeyValue(
                    _LONG[:70],
                    f"3/0 AWG {_WORD}",
                    "given",
                    "job file, and the label of the panel read again",
                ),
            ),
            reasons=SUMMARY.reasons[:1],
        ),
        replace(
            BUY,
            trips=(
                v.Trip(
                    "Electrical supply house at the far end of the county, open on weekdays only",
                    tuple(
                        v.BuyItem(
                            _LONG,
                            _WORD,
                            _LONG,
                            "1,000,000 ft",
                            "999,999.9 ft",
                            "$ 10,482.75",
                            "$ 10,482.75",
                            "120 days",
                        )
                        for _ in range(12)
                    ),
                    "$ 125,793.00",
                    "$ 10,482.75",
                    "$ 136,275.75",
                ),
            ),
        ),
        v.Carry(
            tuple(
                v.Tool(
                    _LONG,
                    "1.1 to 1.15, 2.1 to 2.15, 3.1 to 3.15, 8.1 to 8.4",
                    _LONG,
                    v.Blank("Calibrated until (YYYY-MM-DD)", size="date"),
                )
                for _ in range(6)
            ),
            tuple(
                v.Tool(_WORD, "1.1 to 1.15, 2.1 to 2.15, 3.1 to 3.15, 8.1 to 8.4", _LONG)
                for _ in range(12)
            ),
        ),
        replace(
            PROCEDURE,
            phases=(
                v.Phase(
                    "12",
                    "Pull the cable through the attic, the crawl space and the workshop wall",
                    "attic, crawl space, workshop",
                    _LONG,
                    (_LONG, _LONG),
                    (
                        v.Step(
                            "2.15",
                            "Measure",
                            f"{_LONG}, from {_WORD} to the ground bar.",
                            _LONG,
                            "120 V (114 to 126 V) between the left slot and the bar",
                            (v.Branch(_LONG, _LONG, "12.15"),),
                            (),
                            _LONG,
                            (
                                v.Blank("Reading F-14, before", "V"),
                                v.Blank("Reading F-15, after", "V"),
                                v.Blank("Initials"),
                            ),
                            cannot_be_undone=True,
                        ),
                        _step(2, 16, why=_LONG, hazards=(LIVE, SHARP)),
                        *(_step(2, number, why=_LONG) for number in range(17, 30)),
                        v.Gate(
                            "long",
                            "12",
                            _WORD,
                            (_LONG, _LONG, _LONG),
                            (_LONG, _LONG),
                            GATE_LIVE.blanks + GATE_DEAD.blanks,
                        ),
                    ),
                    _LONG,
                    _LONG,
                    (LIVE, SHARP),
                ),
            ),
        ),
        replace(
            TORQUE,
            groups=(
                v.TorqueGroup(
                    _LONG,
                    tuple(
                        v.TorqueRow(
                            str(number),
                            _LONG[:60],
                            "3/0 AWG aluminum",
                            "1,250 lbf·in",
                            _WORD,
                        )
                        for number in range(1, 13)
                    ),
                ),
            ),
        ),
        v.Readings(
            tuple(
                v.ReadingGroup(
                    _LONG,
                    tuple(
                        v.Reading(
                            str(number),
                            "V, AC, low-impedance input",
                            _LONG[:60],
                            _WORD[:40],
                            "228.0 to 252.0 MΩ",
                            "MΩ",
                            _LONG,
                        )
                        for number in numbers
                    ),
                    (LIVE, SHARP),
                    gate,
                )
                for gate, numbers in ((None, range(1, 15)), (GATE_LIVE, range(15, 29)))
            )
        ),
        replace(
            PERMIT,
            documents=tuple(v.PermitDocument(f"paper_{n}", _LONG, "K") for n in range(6)),
            questions=tuple(v.PermitQuestion(f"ask_{n}", _LONG) for n in range(3)),
            stages=tuple(
                v.Stage(
                    f"stage_{n}",
                    _LONG[:60],
                    tuple(
                        v.InspectionItem(
                            f"item_{m}",
                            _LONG,
                            "210.8(A)(2), 210.8(F) Exception No. 1",
                            "F",
                            ask_office=True,
                        )
                        for m in range(14)
                    ),
                )
                for n in range(3)
            ),
        ),
        replace(
            ONE_LINE,
            symbols=(
                *(
                    replace(
                        symbol,
                        name=f"{symbol.name} beside the workshop gate",
                        rating=f"{symbol.rating}, outdoors",
                        conductor=_LONG,
                    )
                    for symbol in ONE_LINE_SYMBOLS
                ),
                v.Symbol(
                    "box",
                    "10",
                    "Junction box",
                    "",
                    "remove",
                    run="3/0 AWG aluminum in buried raceway",
                    enclosure="Workshop",
                ),
                v.Symbol("switch", "11", "Disconnect", "60 A", "new", enclosure="Workshop"),
                v.Symbol("fixed", "12", "Car charger", "48 A", "new"),
            ),
        ),
        replace(
            DIRECTORY,
            left=tuple(
                _same(number, "20 A Kitchen counter by the window") for number in range(1, 42, 2)
            ),
            right=(
                *(
                    _same(number, "15 A Lights, hall and front bedroom")
                    for number in range(2, 39, 2)
                ),
                v.DirectoryRow(
                    "40",
                    v.DirectoryCell("20 A Freezer, garage"),
                    v.DirectoryCell("50 A Car charging receptacle, garage", 2, "new"),
                ),
                v.DirectoryRow("42", v.DirectoryCell("20 A Hall"), None),
            ),
        ),
        replace(
            LOAD,
            methods=(
                v.LoadMethod(
                    "Standard method with every demand factor of the article",
                    "Part III",
                    True,
                    tuple(
                        v.LoadLine(
                            f"{number}",
                            _LONG[:60],
                            "(10,000 VA × 1) + (120,520 VA × 0.35)",
                            "1,120,520 VA",
                            "220.42, 220.52(A), 220.53 Exception",
                            "subtotal",
                        )
                        for number in range(1, 17)
                    ),
                    "1,200 A",
                    "1,131.9 A",
                    "68.1 A",
                    False,
                ),
            ),
        ),
        replace(
            CALCULATIONS,
            findings=tuple(
                v.Finding(_LONG, _LONG, "falls short", f"NEC 2023 Table 310.16, {_WORD}")
                for _ in range(10)
            ),
            groups=(
                v.CalculationGroup(
                    _LONG,
                    tuple(
                        v.Calculation(
                            f"L-{number}",
                            _LONG,
                            " + ".join(f"N{part} × I_{part}" for part in range(12)),
                            " + ".join(f"{part} × 1,048.25 A" for part in range(12)),
                            tuple(
                                v.CalculationInput(f"N{part}", _LONG, "1,048.25 A", _WORD)
                                for part in range(6)
                            ),
                            "12,048.2500 A",
                            f"NEC 2023 Chapter 9, Table 9, {_WORD}",
                            _LONG,
                            "does not fit",
                            "A, B, C, D-2.3, D-2.4, E-1, E-2, E-3, F-1, F-2, G, H-9, K line 12",
                        )
                        for number in range(1, 5)
                    ),
                ),
            ),
        ),
        v.AsBuilt(
            tuple(
                v.AsBuiltGroup(
                    _LONG[:60],
                    tuple(
                        v.AsBuiltRow(
                            f"group_{group}.row_{row}",
                            f"{group}{row}",
                            _LONG,
                            _WORD,
                            "E-11 to E-13",
                        )
                        for row in range(6)
                    ),
                )
                for group in range(1, 4)
            )
        ),
    ),
)

# ----------------------------------------- emptiest values: nothing known, nothing to do

EMPTIEST = v.SheetSet(
    v.Frame("1", "x", "NEC 2023", "0000-00", "2026-01-01", "0", "0", "0000-0000"),
    v.Outcome.READY_IF,
    (
        v.Summary(
            "",
            "",
            "",
            "",
            v.Outcome.READY_IF,
            (),
            (v.OpenQuestion("Open?", "office"),),
            (v.KeyValue("Circuit", "", "", ""),),
            "",
            "",
            "",
            "",
            "",
        ),
        v.Buy((v.Trip("Store", (v.BuyItem("Plate", "", "", "1"),)),), "", "", ""),
        v.Carry((), (v.Tool("Meter", "", ""),)),
        v.Procedure(
            "Do.",
            "",
            (),
            (v.Phase("1", "Off", "", "", (), (v.Step("1.1", "Stop", "."),), ".", ""),),
        ),
        v.Torque((v.TorqueGroup("Panel", (v.TorqueRow("1", "Lug", "", "", ""),)),), ""),
        v.Readings((v.ReadingGroup("Dead", (v.Reading("1", "V", "", "", "", "", ""),)),)),
        v.Permit("", "", "", (), (), ()),
        v.OneLine((v.Symbol("utility", "1", "Utility"),)),
        v.Directory("Panel", "", "", "", (), ()),
        v.LoadWorksheet("", "", "", ()),
        v.Calculations((), ()),
        v.AsBuilt((v.AsBuiltGroup("Circuit", (v.AsBuiltRow("circuit.x", "1", "", "", ""),)),)),
    ),
)
_NOBODY = v.Party("")
EMPTIEST_CLIENT = v.SheetSet(
    EMPTIEST.frame,
    v.Outcome.READY_IF,
    (
        v.Scope(
            "request",
            "",
            contractor=_NOBODY,
            client=_NOBODY,
            address="",
            valid_until="",
            starts="",
            ends="",
            work=(),
            included=(),
            not_included=(),
            assumptions=(),
            open=(),
            permit_by="",
            power_off="",
            materials="",
            prices=(v.PriceLine("Labor", "", ""),),
            total="",
            payments=(),
            warranty="",
        ),
    ),
    v.Reader.CLIENT,
)
EMPTIEST_PERMIT = v.SheetSet(
    EMPTIEST.frame,
    v.Outcome.READY_IF,
    (v.PermitSummary("", (v.Answer("Parcel", ""),), ()),),
    v.Reader.PERMIT,
)
LONGEST_CLIENT = v.SheetSet(
    FRAME,
    v.Outcome.READY_IF,
    (
        replace(
            SCOPE,
            contractor=v.Party(_LONG, _LONG, _WORD, _WORD),
            client=v.Party(_LONG, _LONG, _WORD),
            work=tuple(v.WorkItem(_LONG, _LONG) for _ in range(12)),
            included=(_LONG,) * 8,
            not_included=(_LONG,) * 12,
            assumptions=(v.Assumption(_LONG, _LONG),) * 8,
            open=(v.OpenQuestion(_LONG, _LONG),) * 6,
            prices=(v.PriceLine(_LONG, _LONG, "$ 112,345.67"),) * 8,
            total="$ 1,112,345.67",
            payments=(v.Payment(_LONG, "12.5 %", "$ 112,345.67"),) * 4,
            warranty=_LONG,
        ),
    ),
    v.Reader.CLIENT,
)

SETS = {
    "ordinary": ORDINARY,
    "ready if": READY_IF,
    "do not start": SHORTFALL,
    "client": CLIENT,
    "permit": PERMIT_SET,
    "longest": LONGEST,
    "emptiest": EMPTIEST,
    "emptiest client": EMPTIEST_CLIENT,
    "emptiest permit": EMPTIEST_PERMIT,
    "longest client": LONGEST_CLIENT,
}
"""Every set that the checks are run on."""
