//! Every code that a finding can carry, with its usual severity and what `interpass tables codes CODE` says of it.
//!
//! Codes are kebab-case, area first, and never reused.

use super::Severity;

macro_rules! codes {
    ($($name:ident = $code:literal $severity:ident, $meaning:literal, $resolve:literal;)*) => {
        /// Stable code of a finding.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $(#[doc = $meaning] $name,)*
        }
        impl Code {
            /// All codes, by area.
            pub const ALL: &'static [Code] = &[$(Code::$name),*];
            /// The code as it is printed.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Code::$name => $code),* }
            }
            /// The usual severity.
            #[must_use]
            pub fn severity(self) -> Severity {
                match self { $(Code::$name => Severity::$severity),* }
            }
            /// What it means and why it matters.
            #[must_use]
            pub fn meaning(self) -> &'static str {
                match self { $(Code::$name => $meaning),* }
            }
            /// How to resolve it, with an example.
            #[must_use]
            pub fn resolve(self) -> &'static str {
                match self { $(Code::$name => $resolve),* }
            }
        }
    };
}

codes! {
    SyntaxToml = "syntax-toml" Error, "The file is not TOML at this place, so nothing after it can be trusted.",
        "Mend the line as the message says; the language is TOML 1.0.";
    SyntaxToml11 = "syntax-toml-1-1" Note, "The file uses a form of TOML 1.1 that many editors and programs do not read yet.",
        "Write it as TOML 1.0: inline tables on one line, no comma after their last entry, \\u escapes in place of \\e and \\x.";
    SyntaxJson = "syntax-json" Error, "A line of standard input is not an object of JSON.",
        "Write one object a line: {\"id\": 1, \"metal\": \"6061\", \"thickness\": \"3 mm\"}.";
    SyntaxEncoding = "syntax-encoding" Error, "The file is not UTF-8 text.",
        "Save it as UTF-8.";
    SyntaxTooLarge = "syntax-too-large" Error, "The file is larger than a spec can be (1 MiB), nests deeper than anything in the language, or has more mistakes than are worth listing.",
        "A spec is a few kilobytes. Check that the right file was named.";
    KeyUnknown = "key-unknown" Error, "This table has no such key. It is not ignored, because a misspelt key would be a setting left out in silence.",
        "Correct the spelling, or take the line out.";
    KeyMissing = "key-missing" Error, "A key that the sheet cannot do without is missing.",
        "Add it as the help line shows.";
    KeyTogether = "key-together" Error, "Two keys stand together that exclude each other, or one stands without the other that it needs.",
        "Keep one, or add the other.";
    KeyType = "key-type" Error, "The value is of another type than the key takes.",
        "Write the value as the help line shows; quantities are strings in quotes.";
    KeyFormat = "key-format" Error, "The file is in a version of the language that this program does not read.",
        "Write format = 1.";
    KeyMany = "key-too-many" Error, "The list has more entries than a sheet can hold.",
        "Leave out what does not matter for this job, or split the job.";
    KeyDate = "key-date" Error, "A date or time cannot be meant as it stands: there is no such day, or two dates are in the wrong order.",
        "Write year, month, day: 2026-10-02.";
    WordUnknown = "word-unknown" Error, "The key takes one of a fixed list of words, and this is none of them.",
        "Take a word from the list; `interpass tables words` prints all lists.";
    QuantityWithoutUnit = "quantity-without-unit" Error, "A bare number has no meaning at the bench: 6 mm and 6 in are both a 6.",
        "Write the number with its unit in quotes: \"6 mm\".";
    QuantityUnit = "quantity-unit" Error, "The unit is not known.",
        "Take one of the units that the help line lists. No nearest unit is offered, for a wrong guess would be off by a factor.";
    QuantityKind = "quantity-kind" Error, "The unit measures another kind of quantity than the key takes.",
        "Write a quantity of the right kind.";
    QuantityNumber = "quantity-number" Error, "The number cannot be read.",
        "Write it with a decimal point or as a fraction: \"0.187 in\", \"3/16 in\", \"1 1/2 in\".";
    QuantityRangeReversed = "quantity-range-reversed" Error, "The range runs from high to low.",
        "Write the low end first.";
    QuantityAbsurd = "quantity-absurd" Error, "The value lies beyond what is physically possible or sensible for this key.",
        "Check the number and its unit.";
    QuantityRange = "quantity-range" Error, "The key takes one value, not a range.",
        "Write one value.";
    QuantityRangeNeeded = "quantity-range-needed" Error, "The key takes a range with two ends, and one value stands there.",
        "Write both ends, lowest first: \"5 A to 200 A\".";
    QuantityGauge = "quantity-gauge" Error, "Gauge numbers mean different thicknesses for different metals, and this metal's table is not known.",
        "Write the thickness in mm or in.";
    NameUnknown = "name-unknown" Error, "No standard, filler, tungsten or other named thing in the tables has this name.",
        "Read it again off the part, packet or certificate. Near names may be listed, none is chosen for you.";
    NameLength = "name-length" Error, "The text is longer than its place on the sheet can hold.",
        "Shorten it; long explanations belong in `summary`.";
    NameEmpty = "name-empty" Error, "A text is there and says nothing.",
        "Write what it is, or take the line out.";
    NameMarkup = "name-markup" Note, "The text holds something that looks like HTML, like a mark of a template language or like a path of folders. In a spec it is plain text and is printed as it stands.",
        "Nothing, if it was meant to be read; else take it out.";
    NameText = "name-text" Error, "The text holds control characters, terminal escapes, marks that turn the direction of writing, or characters that cannot be seen.",
        "Type it again as plain text.";
    NameIdentifier = "name-identifier" Error, "A number or id holds characters that have no place in a file name or a step id.",
        "Use letters, digits, hyphen, dot and slash as the help line says.";
    NameTwice = "name-twice" Error, "The same id or number stands twice.",
        "Give each its own.";
    ProseHtml = "syntax-prose-html" Error, "The text holds raw HTML. Prose in a spec is CommonMark without HTML.",
        "Write it with CommonMark: *stress*, lists, links. HTML is never passed through to a sheet.";
    ProseHeading = "syntax-prose-heading" Error, "The text holds a heading, which would break the order of the sheet.",
        "Make it a sentence of its own.";
    ProseLink = "syntax-prose-link" Error, "The text holds a picture, or a link that leads to neither the web nor a mail address. A sheet is one file without anything to fetch.",
        "Say in words what a picture shows; write links with https:// or mailto:.";
    MetalNameUnknown = "metal-name-unknown" Error, "No base metal in the tables has this name.",
        "Read it again off the part or the certificate. If nobody knows, give `family` in its place.";
    MetalMissing = "metal-missing" Error, "The spec does not say what the metal is.",
        "Give `alloy`, or `family` when nobody knows better.";
    MetalFamily = "metal-family" Warning, "Only the family of the metal is known. Figures take the cautious end of the family, and the sheet puts finding out before everything else.",
        "Have the metal identified, then give `alloy`.";
    MetalNotYet = "metal-not-covered" Error, "This metal or family is not covered by the tables of this program.",
        "`interpass tables alloy` lists the metals that are covered.";
    MetalTemper = "metal-temper" Note, "The temper is not stated or not usual for this alloy, so the soft zone and the physical data are those of the usual temper.",
        "Give the temper as on the certificate or the drawing.";
    MetalData = "metal-data" Note, "A property of this metal is not in the tables; that of the nearest kind stands in for it.",
        "Nothing to do; the working names the metal that stands in.";
    MetalMagnesiumWarm = "metal-magnesium-warm" Warning, "A metal with over 3 % magnesium in sustained service above 65 °C turns open to stress corrosion, whatever the filler.",
        "Ask whether the part really runs that warm; choose another metal for a new part.";
    MetalThin = "metal-thin" Warning, "The metal is thinner than any published schedule for this process.",
        "Practise on scrap of the same thickness first, or braze or bond it.";
    MetalThick = "metal-thick" Warning, "The metal is thicker than manual TIG is meant for.",
        "Think of MIG, or of preheat with the limits that the sheet names.";
    MetalForm = "metal-form" Warning, "The form and the alloy do not go together.",
        "Check both: a die casting alloy is not sold as plate.";
    MetalHardZone = "metal-hard-zone" Warning, "The zone beside the weld of this steel may get so hard that it cracks after welding, hours later too.",
        "Preheat, keep the part warm between runs, let it cool slowly and look for cracks after 48 h.";
    FillerNone = "filler-none" Error, "No filler metal fits this pair of base metals.",
        "Bolt it, or change one part.";
    FillerExcluded = "filler-excluded" Error, "The filler metal that the author set is excluded for this job.",
        "Take one of the ranked ones; the reason of the exclusion is printed.";
    FillerCracking = "filler-cracking" Warning, "The weld metal may lie in the range of composition that cracks while it freezes.",
        "Feed more rod (less dilution), or take another filler.";
    FillerFerrite = "filler-ferrite" Warning, "The weld metal of a stainless steel may hold too little ferrite to be safe from cracks while it freezes, or its ferrite cannot be told.",
        "Feed more rod, take a rod with more ferrite, or have a trial bead measured.";
    FillerColour = "filler-colour" Warning, "The rod comes out of the anodising bath in another colour than the metal.",
        "Take the rod that the message names, or agree on the stripe with the owner.";
    FillerDisagree = "filler-sources-differ" Note, "Published sources recommend different filler metals.",
        "The working shows both and says which leads.";
    SettingWithoutReason = "setting-without-reason" Error, "The author's own value leaves the worked-out range and gives no reason.",
        "Add because = \"...\", or take a value inside the range.";
    SettingOutside = "setting-outside-range" Warning, "The author's own value lies outside the worked-out range. The reason is printed beside it.",
        "Nothing, if the reason holds.";
    SettingAboveMachine = "setting-above-machine" Error, "The value is past the end of the machine. A reason may leave a worked-out range, never a ceiling.",
        "A smaller value, a bigger set, or a warmer part.";
    SettingAboveTorch = "setting-above-torch" Error, "The value is past the rating of every torch in the kit.",
        "A smaller value or a bigger torch.";
    SettingAboveTungsten = "setting-above-tungsten" Error, "The value is past what any tungsten sold carries, or past the tungsten that the author set.",
        "A smaller value, the next diameter, or less electrode positive.";
    SettingAboveHeatLimit = "setting-above-heat-limit" Error, "The preheat or interpass temperature is above the limit of this metal.",
        "Stay under the limit; it protects the temper or the corrosion resistance.";
    SettingBelowLens = "setting-below-lens-minimum" Error, "The lens shade is lighter than the legal minimum at this current.",
        "A darker shade.";
    SettingNeedAboveMachine = "setting-need-above-machine" Warning, "The job needs more current than the machine has.",
        "Warm the part within its limit, add helium, or take a bigger set; the sheet says which is possible.";
    SettingBeyondMachines = "setting-beyond-machines" Warning, "The current lies beyond what manual TIG sets are sold for.",
        "Think of another process, or of preheat within the limit.";
    SettingMethodsDiffer = "setting-methods-differ" Note, "The two methods for the amperage differ by more than 20 %.",
        "The sheet shows both and says which it follows and why. Start at the lower end.";
    SettingNotComputed = "setting-not-computed" Note, "A figure could not be worked out; it is left as a blank to fill in at the bench.",
        "Give what the message names.";
    SettingStart = "setting-start-too-hot" Warning, "The part starts at or above its interpass limit.",
        "Wait until it has cooled below the limit.";
    SettingHeatTooLong = "setting-heat-too-long" Warning, "The heat of this procedure lasts longer than the metal stands: it takes strength from the whole part, or makes a metal with much magnesium open to stress corrosion.",
        "Cool further between passes, leave out the hot stage that the message names, or have the part heat-treated again.";
    SettingOutsideMethod = "setting-outside-method" Note, "The usual formula is not meant for this metal, thickness or heat input, so it is not used.",
        "Nothing to do; the message says which bounds are left, and the working what stands in for the formula.";
    SettingPosition = "setting-position" Note, "The position changes the current or the pool.",
        "Turn the part so that the weld lies flat, where it can be turned.";
    KitNone = "kit-none" Note, "No kit was given, so no limit of a machine, torch or stock is checked.",
        "Give --kit FILE.";
    KitAmbiguous = "kit-ambiguous" Error, "Two kits lie in one folder.",
        "Name one with --kit.";
    KitMachine = "kit-machine-unknown" Error, "The kit has no machine of this name.",
        "Take a name from the kit.";
    KitBalance = "kit-balance" Warning, "The range of the AC balance looks as if the panel counted the other half of the wave. Taken the wrong way round, a setting for cleaning becomes one for depth.",
        "Look at the panel: more cleaning is a lower number where it counts EN, a higher one where it counts EP.";
    KitRating = "kit-rating" Warning, "The rated current lies above the end of the machine's own range.",
        "Check both on the rating plate.";
    KitTorchTooSmall = "kit-torch-too-small" Note, "A torch of the kit is too small for this job.",
        "Leave it on the hook.";
    KitLacks = "kit-lacks" Warning, "The kit does not hold something that the job needs.",
        "Get it, or take what the message names in its place.";
    GateQuestion = "gate-question" Warning, "The spec leaves out something that decides about safety. Left out means unknown.",
        "Answer it in the spec, or at the bench in section 2 of the sheet.";
    GateRefused = "gate-refused" Error, "This repair is refused. The sheet says why and what to do instead.",
        "No key turns this off.";
    GateApproval = "gate-approval" Error, "This repair is refused unless the procedure is qualified and the repair approved.",
        "Give [qualification] state = \"qualified\" and [approval] by and reference.";
    GateHead = "gate-head" Warning, "The use of the part puts a question at the head of the sheet.",
        "Answer it before work starts.";
    GateMetal = "gate-metal" Error, "This metal must not be welded by this process.",
        "Take one of the other ways that the sheet names.";
    GateQualification = "gate-qualification" Error, "The procedure is stated to be qualified, and lies outside what the test on record covers. The sheet would claim in its head what is not so, and gates that refuse open on that word.",
        "Weld a new test and name its record, or write [qualification] state = \"none\".";
    GateQualificationOpen = "gate-qualification-open" Warning, "The procedure is stated to be qualified, and the tables or the record cannot settle whether the test covers it. Rows from memory carry no weight until somebody opens the standard.",
        "Write in `coupon` what the record says, and ask the examiner for the rest.";
    GateQualificationStandard = "gate-qualification-standard" Warning, "The standard of qualification is for another metal, leaves repair out, or is not held by the tables.",
        "Name the one for this repair: ISO 15614-2 for a repair of aluminium, wrought or cast; never ISO 15614-4.";
    GateWelder = "gate-welder" Warning, "The welder's own qualification does not cover this procedure on its date.",
        "Name a welder whose qualification covers it, or have it confirmed or tested again.";
    AcceptanceNotHeld = "acceptance-not-held" Warning, "The tables hold no limits of this standard or level, so they cannot be worked out for this wall.",
        "Name one that is held, or write its limits into the boxes of section 7.";
    AcceptanceMetal = "acceptance-other-metal" Warning, "The standard is for another metal than that of the part.",
        "Name its counterpart: ISO 10042 for aluminium is what ISO 5817 is for steel.";
    DamageNeeds = "gate-damage-size" Warning, "The damage is not measured: a size is missing without which opening and deposit cannot be worked out.",
        "Measure it and add the key; until then the sheet leaves blanks.";
    DamageSize = "quantity-damage" Error, "The damage is larger than the metal allows, as stated.",
        "Check the numbers.";
    Attempt = "gate-attempt" Warning, "The same place has been repaired before.",
        "A second attempt wants a review, a third wants approval.";
    OutputClash = "output-clash" Error, "Two specs would be written to the same file.",
        "Rename one; names are compared without regard to case.";
    OutputWrite = "output-write" Error, "A file could not be written.",
        "Check the folder, its rights and the space on the disk.";
    OutputInternal = "output-internal" Error, "This is a fault of the program, not of the spec.",
        "Report it with the file and the version.";
    OutputCardMoved = "output-card-moved" Note, "A card is one page at a type size that reads at arm's length, so most settings and steps stand on the full sheet only.",
        "Nothing; keep the full sheet beside the card.";
    OutputCardNone = "output-card-none" Error, "There is no card: every DANGER of the sheet stands on the card, and here they leave no room for the rest. Type is never shrunk.",
        "Work from the full sheet; answer in the spec what is open, for a danger that is ruled out no longer stands.";
    RunPlace = "run-unknown" Error, "The run record names something that cannot be right.",
        "Check it against the sheet.";
    RunOther = "run-other-sheet" Error, "The run record is of another procedure or another revision, so its values say nothing about this sheet.",
        "Set it against the sheet that lay at the bench.";
    RunSeal = "run-other-seal" Warning, "The run record bears another seal: it belongs to another content of this revision, or to a sheet that was made with another kit.",
        "Set it against the sheet itself: interpass record SHEET.html RUN.";
    RunSheet = "run-sheet-changed" Warning, "The sheet that was given is not what this program makes of the spec and the kit inside it: it was changed, or another version of the program wrote it.",
        "Ask for the sheet again; what is compared are the figures that this program works out.";
    RunUnread = "run-unread" Warning, "A run record that is kept beside the spec cannot be read. If it tells of a failed repair, that repair is not counted.",
        "Mend it: interpass check FILE.run.toml.";
    SealChanged = "seal-changed" Warning, "A revision that was issued is not what it was: its seal is another one than the ledger holds. The spec or the kit was changed, or another version of the program works a figure out otherwise.",
        "Put back what was changed, or give the spec a new revision, date and reason and issue that: interpass issue SPEC.";
    SealSheet = "seal-sheet" Error, "A sheet that was received is not what was written: the finding names the part that was changed. A seal shows tampering and damage; it is not a signature.",
        "Ask for the sheet again, by another way.";
    SealDoubt = "seal-doubt" Warning, "A sheet that was received cannot be checked to the end, mostly because another version of the program wrote it.",
        "Ask for a sheet that is written anew, or read it with the version that wrote it.";
    LedgerTorn = "ledger-torn" Warning, "The last line of the ledger has no line feed: whoever wrote it was stopped in the middle. An entry that was reported as entered is never cut like that.",
        "Issue again: interpass issue mends the end of the file first.";
    LedgerJson = "ledger-not-json" Error, "A line of the ledger is not JSON, so nothing can be read from it. Until it is mended no revision counts as issued.",
        "Take the file out of its history: git log -p interpass.ledger.jsonl.";
    LedgerKey = "ledger-key" Error, "A line of the ledger lacks a key of an entry, or has one that cannot be right.",
        "Take the file out of its history: git log -p interpass.ledger.jsonl.";
    LedgerEdited = "ledger-edited" Error, "A line of the ledger was changed after it was written: the digest at its end is not its own. An entry is never edited, a new revision is entered.",
        "Take the file out of its history: git log -p interpass.ledger.jsonl.";
    LedgerChain = "ledger-chain" Error, "A line of the ledger does not bear the digest of the line before it: lines were taken out, put in or moved. Two branches that both entered a revision end like this when they are merged.",
        "Take the file out of its history; after a merge keep one side and issue the revisions of the other again.";
    LedgerTwice = "ledger-twice" Error, "The same revision is entered twice.",
        "Take the file out of its history: git log -p interpass.ledger.jsonl.";
    LedgerRevision = "ledger-revision" Error, "A revision in the ledger goes back, is of another kind than the one before it, or is withdrawn without having been issued.",
        "Take the file out of its history: git log -p interpass.ledger.jsonl.";
    LedgerDate = "ledger-date" Error, "A revision in the ledger bears a date before that of the revision before it.",
        "Take the file out of its history: git log -p interpass.ledger.jsonl.";
    LedgerSize = "ledger-too-large" Error, "The ledger, or a line of it, is larger than any that the program writes.",
        "Check that the right file lies there.";
    LedgerLost = "ledger-lost" Error, "Entries that the last commit of git holds are not in the ledger as it lies there. A ledger only ever grows.",
        "Take the file out of its history: git checkout HEAD -- interpass.ledger.jsonl.";
    LedgerRefused = "ledger-not-entered" Error, "The revision cannot be entered as it stands.",
        "Do what the help line says, then issue it again.";
    LedgerSuperseded = "ledger-superseded" Note, "The ledger holds a later revision of this procedure, so nobody works from this one.",
        "Nothing, if the file is kept for the record.";
    ReadFile = "output-read" Error, "A file could not be read.",
        "Check the name and the rights.";
}
