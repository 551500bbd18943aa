//! Every kind of problem, with its words: the one place where they are made.

use units::{BenchUnit, ReadErrorKind};

use super::quantity::{Beside, Quantity};
use super::words::{Said, Values, Wanted, kinds};
use crate::fields::Field;
use crate::layout::Layout;

kinds! {
    /// Why a field is needed.
    Why {
        Needed {} => "";
        OrHalf {} => " Give it, or nut_to_12.";
        OrSpelledOut {} => " Name a set, or spell the strings out as [[string]].";
        Ramp {} => " A ramp has a length and a depth.";
        Crown { word: &'static str } => " A crown that is \"{word}\" needs it.";
        NutHeight {} => " Give it or held_at_3 for a nut that stays, or new_clearance for a new nut.";
        ZeroFretHeight {} => " A zero fret is read by it, by held_at_3 or by zero_fret_above.";
        ZeroFretWork { word: &'static str } => " zero_fret = \"{word}\" needs it.";
        CentsNeedContacts {} => " cents_12 needs the present contacts.";
        ClearanceNeedsAction {} => " first_fret_clearance needs the present action at fret 12.";
        CentsNeedAction {} => " cents_12 needs the present action at fret 12.";
        ReferenceNeedsAction {} => " A reference saddle needs the present action at fret 12.";
        Offsets {} => " intonation = \"offsets\" needs the setbacks.";
        SetbackOnly {} => " The saddle stays, so [target] says only whether the nut is set for intonation. Write \"best-fit-with-nut\" for nut setbacks, or leave [target] out for a nut without them.";
        MarginTo {} => " A margin is taken to the centre or to the side of the outer strings.";
        Post {} => " A post is known by both, how far back and how far across.";
        OuterStrings {} => " The fit needs it for the outer strings at least.";
        Winged {} => " Winged ends follow the bridge's contour.";
        StandingHeight {} => " There is no [slot] and no [blank], so the saddle stays and the nut alone is made; its height follows from this.";
        StandingPlace {} => " There is no [slot] and no [blank], so the saddle stays and the nut alone is made; this says where on it the strings end.";
    }
}

kinds! {
    /// What is wrong or doubtful, with the values that say how.
    ProblemKind {
        // How the file is laid out.
        Layout { layout: Layout } => "{layout}";
        Unknown { key: String, table: String, advice: String } => "`{key}` is not known in {table}. {advice}";
        Missing { key: &'static str, table: String, why: Why, field: &'static Field } => "`{key}` is missing from {table}.{why} Expected {field}.";
        NoTable { keys: String } => "Expected a table with {keys}.";
        OtherFormat { format: u32 } => "This program reads format {format}. Write format = {format}, or use the program that the file was made for.";
        Profile { name: String, what: String } => "Profile {name}: {what}";
        Unexplained {} => "This cannot be read. Compare it with the page on the job file.";

        // How one value is written.
        Expected { wanted: Wanted } => "Expected {wanted}.";
        NoText {} => "Expected text in quotes.";
        ControlCharacter {} => "There is a control character in the text. Leave it out.";
        LineBreak {} => "There is a line break or a control character in the text. Write it on one line.";
        NoTitle {} => "The title is empty. Write what the job is, such as \"Parlour guitar: new saddle\".";
        LongTitle { long: usize, most: usize } => "The title is {long} characters long; {most} is the most. Shorten it, and write the rest as notes.";
        NoSuchWord { field: &'static Field, meant: String } => "Expected {field}.{meant}";
        NoSuchName { what: &'static str, meant: String, known: Vec<String> } => "No {what} of this name is known.{meant} Known are {known}. Others can be added by a profile file.";
        NameMissing { key: &'static str, known: Vec<String> } => "`{key}` is missing. Write one of the profiles: {known}.";
        NoUsual { what: &'static str, name: String, key: &'static str } => "The profiles hold no {what} named \"{name}\", so name one in {key}.";
        NoNote {} => "Expected a note name with its octave, such as E2, F#3 or Bb3. Middle C is C4.";
        NoWholeNumber { hint: String } => "Expected a whole number without quotes. {hint}";
        NoNumber { unit: String, hint: String } => "Expected a number without quotes{unit}. {hint}";
        NoCents {} => "Expected cents such as 3 or \"-2 cents\".";
        NoUnit {} => "There is no unit, and the file declares none. Write the unit, as in \"3.2 mm\" or \"1/8 in\", or put unit = \"mm\", \"in\" or \"thou\" at the top of the file.";
        NoUnits { lines: String } => "There is no unit here, nor in other lengths (lines {lines}), and the file declares none. Put unit = \"mm\", \"in\" or \"thou\" at the top of the file, or write a unit to each, as in \"3.2 mm\" or \"1/8 in\".";
        SlopeWithoutUnit {} => "One side of the slope has no unit. Write both, as in \"0.5 mm over 3.2 mm\".";
        Unreadable { kind: ReadErrorKind, wanted: Wanted, hint: String } => "{kind}; expected {wanted}. {hint}.";
        Outside { figure: Beside } => "{figure}";
        Doubtful { figure: Beside } => "{figure}";
        EndsOfOneString {} => "One string has one place, so bass and treble cannot differ. Give one value, without bass and treble.";
        Count { values: Values, strings: usize } => "The list has {values}, but there are {strings} strings. Give one for each, from bass to treble.";

        // The neck and the strings.
        TwoScales {} => "Both scale and nut_to_12 are given. Keep the one you measured.";
        FanOfOneString {} => "Two scale lengths need two strings that do not lie on one another. Give one scale length.";
        OneListForTwoScales {} => "One list of frets does not serve two scale lengths. Write {{ bass = [..], treble = [..] }}, each from fret 0 along its outer string.";
        FretCount { values: Values } => "{values}. Give the frets from fret 1 on without a gap, 12 to 36 of them for their places, at most 36 for their wear.";
        FretOrder { fret: u32, before: Quantity, scale: Quantity } => "Fret {fret} must lie beyond the one before it, which is at {before}, and short of the scale length of {scale}. All are measured from fret 0, the front of the nut.";
        FretFar { fret: u32, off: Quantity, rule: Quantity } => "Fret {fret} lies {off} from its place in equal temperament, {rule} from fret 0. Look for a fret left out or counted twice, and measure all from fret 0.";
        NoBoard { why: String } => "This makes no fingerboard: {why}.";
        ReliefOutsideSpan {} => "Relief is read between fret 1 and the joint fret, where the straightedge rests. Give a fret between them; near the middle is best.";
        RounderAtTwelve {} => "The board is rounder at fret 12 than at the nut, which is unusual. Look whether the two are swapped.";
        RadiusUnderSpread { fret: u32, radius: Quantity, half: Quantity } => "At fret {fret} the radius would be {radius}, less than half the width of the strings there, which is {half}. Look at the radius and its unit.";
        StringsInOne {} => "Write each string as a table of its own: [[string]] on a line, then its keys.";
        NotInSet { count: usize, number: usize } => "The set has {count} strings, so it has no string {number}.";
        StringTwice { number: usize } => "String {number} is given twice. Keep one [[string]] for each number.";
        StringMissing { number: usize, count: usize } => "String {number} of {count} is missing. Add a [[string]] with number = {number}, or name a set.";
        InString { number: usize, about: Box<ProblemKind> } => "String {number}: {about}";
        TwoNotes { tuned: String, note: String } => "the tuning gives {tuned}, this note {note}. Keep one of them.";
        NoteMissing {} => "its note is missing. Write note = \"E2\" or the like here, or a tuning in [strings].";
        GaugeOfMeasured {} => "the set gives this string by its measured linear_density, which does not fit another gauge. Give linear_density and stretch_response too.";
        CoreOfSet {} => "the gauge is yours but the core is still the set's. Give core too if you can measure it.";
        ConstructionUnused {} => "this is not used, because linear_density and stretch_response say all that the construction would. Leave it out.";
        GaugeMissing {} => "The gauge is missing. Write the outer diameter, such as gauge = \"0.012 in\".";
        StringKindMissing {} => "It is not said how the string is made. Write kind = \"plain\" with its material, kind = \"wound\" with core_material, wrap and, where it can be measured, core, or both linear_density and stretch_response as measured.";
        NotOfPlain { key: &'static str } => "A plain string has no {key}. Leave it out, or write kind = \"wound\".";
        NotOfWound {} => "`material` belongs to plain strings. For a wound string write core_material and wrap.";
        CoreMissing {} => "The core of the wound string is missing, and there is no rule for a core of this material at this gauge. Write its diameter, or its width across the flats, such as core = \"0.018 in\", or both linear_density and stretch_response as measured.";
        CoreByRule { core: Quantity, across: &'static str, sure: String } => "no core is given, so a rule takes it from the gauge: {core} {across}. Stretch stiffness is sure to {sure} % by that. Measure the bare core at the ball end and write core, or give present.cents_12.";
        StringByRule { sure: String } => "no core is given, so a rule takes weight and stretch response from the gauge. Stretch stiffness is sure to {sure} % by that. Weigh a measured length for linear_density and measure stretch_response, or give present.cents_12.";
        NoString { why: String } => "This makes no string: {why}. Look at core and gauge and their units.";
        DoubtfulCore { share: String, least: String, most: String } => "The core is {share} % of the gauge; {least} to {most} % is usual. Look at the units of core and gauge.";
        StretchTwice { string: u32 } => "String {string} has a reading in present.cents_12 too, which finds the factor anew. Keep one of the two.";
        TensionOutside { number: u32, note: String, tension: Quantity, least: Quantity, most: Quantity, hint: &'static str } => "String {number} tuned to {note} would be under {tension}; allowed is {least} to {most}. {hint}";
        TensionDoubtful { number: u32, note: String, tension: Quantity, least: Quantity, most: Quantity, hint: &'static str } => "String {number} tuned to {note} would be under {tension}; usual is {least} to {most}. {hint}";
        AlsoInOne {} => "Write each tuning or set as a table of its own: [[also]] on a line, then its keys.";
        AlsoNothing {} => "Nothing here is other than in [strings]. Give tuning, set, or both.";
        AlsoCount { values: usize, strings: usize } => "This set has {values} strings, and the job {strings}. Give a set of as many, or leave it out.";
        AlsoTwice { name: String } => "This is the same as {name}: the same strings at the same pitches. Leave one of them out, or give that one more weight.";
        AlsoNameTwice { name: String } => "Two are called \"{name}\". Give each a name of its own.";
        LongName { long: usize, most: usize } => "The name is {long} characters long, and {most} is the most. Write a shorter one.";
        CoursesHold { held: usize, count: usize } => "The courses hold {held} strings, but there are {count}. Write 1 or 2 for each course, from bass to treble.";
        OddPairs { count: usize } => "{count} strings do not make pairs. Write a list such as [1, 2, 2], from bass to treble.";
        SpreadBesideMargin {} => "The margins of [nut_blank] place the outer strings. Keep one of the two: margin, or nut_spread.";
        SpreadOfOneString {} => "One string has no spread, so this is not used. Leave it out.";
        NoPairs {} => "No course is a pair, so this is not used. Leave it out, or say which courses are pairs.";
        TooTight { gap: Quantity } => "The strings do not fit: the clear gap between neighbours would be {gap}. Look at the spread, the gauges and the distance within a pair.";
        CannotBePlaced { why: String } => "The strings cannot be placed: {why}.";
        WiderAtNut { nut: Quantity, saddle: Quantity } => "The strings spread {nut} at the nut and only {saddle} at the saddle. They run apart toward the bridge: look at both spreads.";
        FingerBehindNut { room: Quantity } => "The finger would lie behind the nut: from nut to fret 1 there are {room}. Give a smaller press.";

        // The nut, what is there and what is wanted.
        NutReadTwice {} => "Both first_fret_clearance and held_at_3 are given. Keep one: the gap over fret 1 of the open string, or of the string held at fret 3.";
        NutWantedTwice {} => "Both new_clearance and new_held_at_3 are given. Keep one: the gap over fret 1 that the new nut shall give the open string, or the string held at fret 3.";
        ZeroFretReadTwice {} => "The height of the zero fret is given twice. Keep one: zero_fret_above, first_fret_clearance or held_at_3.";
        NoZeroFret {} => "This belongs to a zero fret, and none is named. Write zero_fret = \"kept\", \"dressed\" or \"new wire\", or leave it out.";
        ZeroFretOtherWork { word: &'static str, other: &'static str } => "The zero fret is \"{word}\", so this is not used. Leave it out, or write zero_fret = \"{other}\".";
        ZeroFretNotSetBack {} => "A zero fret stands at fret 0 and has no setback. Leave it out; if its slot is in the wrong place, the frets are measured from it all the same: give the scale from its crown.";
        ZeroFretNoNewGap {} => "Over a zero fret no slot gives a string its gap: it lies on the crown. Leave this out and say what is done to the zero fret: zero_fret = \"dressed\" with dressed, or \"new wire\" with new_wire. If a nut comes in its place, leave zero_fret out.";
        ZeroFretNoNutBlank {} => "The strings rest on a zero fret; the nut behind it only spaces them, and none is planned. Leave [nut_blank] out; or leave nut.zero_fret out if a nut comes in the zero fret's place.";
        ZeroFretIntonation {} => "A zero fret cannot be set back, so nothing at the nut can be chosen with the saddle. Write \"best-fit\" for the least error by the saddle alone, or \"octave\".";
        NeedsPresent { why: Why } => "A table [present] with action_12, the action at fret 12 as it is now, is missing.{why} Add it.";
        CentsNeedNut {} => "A cents reading needs the height of the present nut: give nut.first_fret_clearance with present.action_12, nut.held_at_3, or nut.zero_fret_above.";
        ReferenceNeedsNut {} => "A reference saddle needs the height of the present nut: give nut.first_fret_clearance with present.action_12, nut.held_at_3, or nut.zero_fret_above.";
        OffsetsUnused {} => "Offsets are used with intonation = \"offsets\" only. Write that, or leave the offsets out.";
        BassUnderTreble { bass: Quantity, treble: Quantity } => "The bass string is to have less action than the treble, {bass} and {treble}. Look whether the two are the wrong way round.";
        WishAtTwelve {} => "The wish at fret 12 is target.action_12. Give another fret here, or leave action_at out.";
        WishAtOne {} => "nut.new_clearance says already how high the string shall stand over fret 1. Give another fret here, or leave action_at out.";
        HighForSteel { action: Quantity, usual: Quantity } => "{action} is high for steel strings; over {usual} is doubtful. Look at the reading and its unit.";
        TargetOfStandingSaddle {} => "The saddle stays, so the action at fret 12 and its setbacks follow from what stands there. Leave this out; or add [slot] and [blank] if a saddle is to be made.";
        IntonationOfStandingSaddle {} => "The saddle stays, so only the nut can be set for intonation. Write \"best-fit-with-nut\" for nut setbacks, or leave [target] out for a nut without them.";
        TableOfASaddle {} => "This table is not used: without [slot] and [blank] the saddle stays, and only the nut is made. Leave it out, or add both.";
        StandingUnknown {} => "There is no [slot] and no [blank], so the saddle stays and the nut alone is made; where the strings touch that saddle must be known. Add a table [present] with action_12 and contact_from_fret_12, read over the present nut; or add [slot] and [blank] if a saddle is to be made.";
        StandingNutUnknown {} => "There is no [slot] and no [blank], so the saddle stays and the nut alone is made; its height follows from the string over the present nut. Give first_fret_clearance or held_at_3 as they are now.";
        NoNewGap {} => "new_clearance or new_held_at_3 is missing: it says how high the slots of the new nut shall be.";
        NoNutPlanned {} => "No nut is planned from this: nut.new_clearance or nut.new_held_at_3 says how high its slots shall be. Give one of them for a new nut.";
        NutShorterThanBoard { width: Quantity } => "The blank is shorter than the board, which is {width} wide. Give a longer blank, or look at board_width.";
        NoMargin {} => "There is no margin here. Give margin, or leave margin_to out and give strings.nut_spread.";
        FrontWithoutSetback {} => "A shelf or a straight shift needs target.intonation = \"best-fit-with-nut\". Write that, or leave front out.";
        NutCutWithoutNut {} => "[nut_cut] says how a nut is cut, but there is no [nut_blank]. Describe the nut there, or leave [nut_cut] out.";

        // Several saddles.
        NotSaddles {} => "Expected one table for each saddle, with its name in two square brackets: [[saddle]].";
        OneSaddle {} => "There is one [[saddle]] alone. Add the others; or, if one saddle carries all strings, write its tables as [slot], [blank] and so on, without [[saddle]].";
        SaddleName {} => "Expected a name of one word, letters a to z and digits, that begins with a letter and is at most 16 long, such as \"bass\". It goes into the names of files, and \"saddle\", \"nut\" and \"both\" mean something else.";
        SaddlesAlike { name: String } => "Another saddle is named \"{name}\" already. Give this one a name of its own.";
        StringsOfSaddle {} => "Expected a list of string numbers, such as [6, 5, 4, 3]; string 1 is the treble-most.";
        NoSuchString { string: u32, strings: usize } => "There is no string {string}: the instrument has strings 1 to {strings}.";
        CarriedTwice { string: u32, name: String } => "String {string} is carried by the saddle \"{name}\" already. A string bears on one saddle: take it out of one of the two.";
        NotCarried { strings: String } => "No saddle carries {strings}. Add what is missing to the strings of one.";
        NotNeighbours {} => "The strings of one saddle are neighbours. Look at the numbers, or make one [[saddle]] of each group.";

        // The slot, the blank and the crown.
        NoSlotWidth {} => "The width is missing, so it cannot be checked that the blank fits the slot. Measure it at both ends and the middle and add width.";
        NoSlotDepth {} => "The depth of the slot is missing, so no exposure above the bridge is worked out, and break angles and the string behind the ridge are not checked. Measure it down the front wall and add depth.";
        ReferenceUnused {} => "[slot.reference] is not used with read_by = \"straightedge\". Leave it out, or write read_by = \"reference saddle\".";
        StraightedgeUnused {} => "This is not used with read_by = \"reference saddle\". Leave it out, or write read_by = \"straightedge\".";
        BridgeAgainstString { line: Quantity, side: &'static str, gap: Quantity } => "With the action as it is now the string runs {line} over the straightedge's line at the slot, and so {gap} {side} this bridge top. No saddle stood there: look at the sign and the size of bridge_top, and at present.action_12.";
        SignBesideSide {} => "bridge_side says on which side the bridge top stands, so this has no sign. Leave the sign out, or leave bridge_side out.";
        SlackWithoutChange {} => "The bridge rises and tips when the strings come up to pitch, and nothing is allowed for it. Read again at pitch, or add under_tension = {{ bridge_top = .., lean = .. }}.";
        ChangeWithoutSlack {} => "under_tension is used with taken = \"slack\" only. Write that, or leave under_tension out.";
        RiseUnused {} => "This is not used with a reference saddle: its contact is worked out from the action at pitch. Only the change of lean is used. Leave it out.";
        OutOfReach { what: &'static str, off: Quantity, side: &'static str, scale: Quantity, short: Quantity, beyond: Quantity, hint: &'static str } => "{what} lies {off} {side} the scale length, which is {scale}. No setback reaches it; allowed is {short} short to {beyond} beyond. {hint}";
        FarFromScale { what: &'static str, off: Quantity, side: &'static str, scale: Quantity, short: Quantity, beyond: Quantity, hint: &'static str } => "{what} lies {off} {side} the scale length, which is {scale}, which is doubtful; usual is {short} short to {beyond} beyond. {hint}";
        Skewed { skew: Quantity, usual: Quantity } => "With the reading at the bass the slot is skewed by {skew}; over {usual} is doubtful. Look at both readings.";
        TrebleBehind { behind: Quantity } => "The slot lies {behind} further back at the treble than at the bass, which is unusual. Look whether the two are swapped.";
        ExitInSlot { width: Quantity } => "The strings would leave the bridge inside the slot, which is {width} wide. Measure from the slot's front edge to the front of the hole.";
        BlankTooThick { thicker: Quantity, slot: Quantity } => "The blank is {thicker} thicker than the slot, which is {slot} wide. It would not go in, or would split the bridge. Thin the blank, or look at slot.width.";
        BlankLoose { thinner: Quantity, slot: Quantity, most: Quantity } => "The blank is {thinner} thinner than the slot, which is {slot} wide; over {most} it tips. Use a thicker blank, or look at slot.width.";
        BlankTooLong { longer: Quantity, slot: Quantity } => "The blank is {longer} longer than the closed slot, which is {slot} long. Shorten it, or look at slot.length.";
        GapShows { shorter: Quantity } => "The blank is {shorter} shorter than the slot, so a gap shows. Use a longer blank, or look at slot.length.";
        EndsInside { shorter: Quantity } => "The blank is {shorter} shorter than the open slot, so its ends lie inside the bridge. Use a longer blank, or look at slot.length.";
        BlankSunk { depth: Quantity } => "The blank does not reach out of the slot, which is {depth} deep. Use a higher blank, or look at slot.depth.";
        ShallowSlot { inside: Quantity, height: Quantity } => "Only {inside} of {height} would stand in the slot, less than a third. Look at slot.depth, slot.under and the blank's height.";
        StringOffBlank { end: &'static str, by: Quantity, along: Quantity } => "The strings are wider than the saddle: the outer {end} string leaves the blank by {by}. Between the outer strings lie {along}. Use a longer blank, or look at saddle_spread, bass_end and the blank's length.";
        StringNearEnd { end: &'static str, left: Quantity, usual: Quantity } => "The outer {end} string lies only {left} from the end of the blank; {usual} or more is usual. Use a longer blank, or look at saddle_spread.";
        NoRoomForRidge { land: Quantity, thickness: Quantity } => "A land of {land} on both faces leaves no room for a ridge on a blank {thickness} thick. Give a smaller land or a thicker blank.";
        NoSuchCrown { word: &'static str } => "No crown is \"{word}\", so this is not used. Leave it out, or write crown = \"{word}\".";
        CrownWithoutFigure { word: &'static str, key: &'static str } => "A crown that is \"{word}\" needs its {key}, but the list has \"-\" there.";
        ContactBehindBlank { thickness: Quantity } => "The contact would lie behind the blank, which is {thickness} thick. Measure from its front face.";
        FloorOverTarget { target: Quantity } => "The floor is not under the target, which is {target} at most, so nothing may be filed. Give the least action that still plays.";

        // Readings after stringing up, and limits of the job's own.
        NoActionRead {} => "No action was read. Read it over fret 12 for the outer strings at least.";
        WhichStrings {} => "One value does not say which strings were read. Give {{ bass = .., treble = .. }} for the outer strings, or a list from bass to treble with \"-\" where none was read.";
        FretTwice { fret: u32 } => "Fret {fret} is given twice. Keep one list for each fret.";
        ReadingsInOne {} => "Write each round of readings as a table of its own: [[readings]] on a line, then its keys.";
        ManyRounds { rounds: usize, most: usize } => "There are {rounds} rounds of readings, and {most} is the most. Leave out the ones that tell least.";
        NoReadings {} => "Nothing is read in this round. Give a reading, such as action_12, or leave the round out.";
        ToolCannot { tool: String, key: &'static str, known: Vec<String> } => "A tool named \"{tool}\" does not read {key}. It is read by {known}. Name one of these and give the reading a round of its own, or leave `with` out.";
        ToolOfNoneStrung { tool: String, known: Vec<String> } => "A tool named \"{tool}\" reads neither action nor a gap nor pitch. Name {known}, or leave `with` out.";
        SureToOfUnlike {} => "The readings of this round are not of one kind of unit: lengths, angles, cents and shares. Give each kind a round of its own, or leave sure_to out.";
        OwnKeyAtTwelve { key: &'static str } => "The reading at fret 12 is {key}. Give another fret here.";
        SlotOfSeveral {} => "There are several saddles, and this does not say of which slot it is. What is read in a slot is taken once there, and neither again nor struck out: leave this out, or make a job of its own for each saddle.";
        SlotOfStandingSaddle {} => "The saddle stays, so no slot is surveyed here. Leave this out; or add [slot] and [blank] if a saddle is to be made.";
        RadiusOfFlat {} => "The board is flat by instrument.board_radius, and a flat board has no radius. Leave this out, or give the radius there.";
        NothingToDoubt { reading: &'static str } => "The survey has no reading {reading}, so there is none to strike out. Leave this out, or doubt the reading that it has in place of it.";
        NotReadThere { string: u32 } => "Of string {string} there is no such reading: it was left out, or put between those of the outer strings. Name strings that were read.";
        NotAccepted {} => "A list of \"front wall\", \"slot\" or both is expected: what is accepted although it is unsafe.";
        LeastOverMost { least: &'static str, most: &'static str } => "`{least}` must be less than `{most}`. The one that is not given has its default.";

        // How the blanks are cut.
        SameToolNumber { one: String, other: String, number: u32 } => "\"{one}\" and \"{other}\" are both tool number {number}. Give one of them another number in its profile.";
        NoSaw {} => "This is no saw. Cutters that stand upright over the slot belong to slot_cutters.";
        SawAmongCutters {} => "A saw cuts the slots from the side, on end. Name it in saws.";
        TooManyPasses { cutter: String, passes: Quantity, most: Quantity } => "With this scallop \"{cutter}\" goes over the crown about {passes} times, and {most} is the most. Take a wider ball, or a higher scallop.";
        OtherThickness { planned: Quantity, key: &'static str } => "The plan is for a blank {planned} thick. Write the thickness measured in {key} too.";
        StockTooShort { stock: Quantity, blank: Quantity, margin: Quantity } => "A stock {stock} long does not hold a blank {blank} long that starts {margin} from its bass end.";
        JawsReversed {} => "The jaws end before they begin. Mend jaw_from and jaw_to, both along X.";
        JawsAsHighAsStock {} => "The jaws stand as high as the stock. Put the stock on a higher parallel.";
        TabsAsHighAsStock {} => "The tabs are as high as the stock is thick. Give a smaller height.";
        WingsUnused {} => "Only winged ends have a contour. Write ends = \"winged\", or leave wings out.";
        WingsTwice {} => "The contour of the blended ends is given in [blank.wings] too, and is another one there. Leave this one out.";
        WingsOfDropIn {} => "A drop-in has no blended ends: its slot is closed. Leave wings out, or write kind = \"through\".";
        RadiusOfThrough {} => "A through saddle has no rounded ends: its slot is open. Leave end_radius out, or write kind = \"drop-in\".";
        EndRadiusOverHalf { half: Quantity } => "The ends cannot be rounder than from face to face, which is half the thickness: {half}. Read the radius of the slot's end again, or leave it out.";
        RoundOtherwise { radius: Quantity } => "The ends have a radius of {radius} by blank.end_radius, and a cutter rounds them from face to face. Write ends = \"square\" and round them by hand, or leave end_radius out.";
        WingsOverlap {} => "The contours of both ends reach over one another. They count inward from each end: look at the last places of both.";
        WingUnderFloor { under: Quantity } => "With {under} under the saddle this line would lie below its bottom edge. Heights count from the slot's floor: look at them, and at slot.under.";
        WingFalls {} => "Going inward, each place lies further in than the one before and no lower.";
    }
}

impl Said for Why {
    fn said(&self, bench: BenchUnit) -> String {
        self.words(bench)
    }
}

impl Said for Box<ProblemKind> {
    fn said(&self, bench: BenchUnit) -> String {
        self.words(bench)
    }
}
