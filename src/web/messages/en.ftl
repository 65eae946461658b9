# Words of the page. English is complete; another language gives the keys that it has, the others are shown in English.
# What the program hears, says and answers is English whatever stands here: those texts are marked as English for
# screen readers.

## The frame

live = LIVE
not-live = NOT LIVE
dead-why = The program does not answer.
dead-since = { $seconds ->
    [one] What you see is one second old. Trying again by itself.
   *[other] What you see is { $seconds } s old. Trying again by itself.
}
typed-stays = What you typed stays here; send it once the page is live again.
no-answer = The program does not answer
timers = Running times
level = Level of the microphone
too-loud = too loud
hear = Heard and awaited
alarm = What failed, and what is not saved
alarm-ok = Written down
alarm-kept = Not saved, kept until the disk takes it: { $why }
tooth = Tooth
pad = Entering by touch
pad-tabs = What is entered
mouth = The mouth
lists = Lists
after = After the visit
strip = The patient under anaesthetic
wall = Read from afar
actions = Actions
all-teeth = All teeth
close = Close
yes = Yes
no = No
other = Other…
this = this
none = none
none-yet = none yet
and-more = and { $count } more
table = Table

## The way in

gate-code = Pairing code shown on the machine
gate-enter = Let me in
gate-printed = It is printed where sulcus was started.
gate-wrong = That code does not let you in. Look at the machine: it may show a new one.

## Heard, awaited, and what becomes of a touch

next = Next
entered = Entered
heard-saved = saved
heard-doubt = saved, doubtful
heard-only-told = nothing entered
heard-lost = not understood
heard-not-saved = NOT SAVED
sayable = Say:
nearest = Nearest:
percent-sure = { $percent } % sure
by-touch = by touch
sending = sending
sending-short = sending
sending-since = { $count ->
    [one] sending for one second
   *[other] sending for { $count } seconds
}
taken = taken
refused = not entered: { $why }
not-saved = NOT SAVED. Write it on paper. { $why }
outcome-unknown = no answer. Look whether it was saved before you touch again.
one-moment = One moment: { $words } is still on its way. Nothing else was done.
listening = Listening
speaking = Speaking
paused = Paused
no-microphone = No microphone
pause = Pause
go-on = Go on
touch-a-tooth = Touch a tooth
no-tooth-say = no tooth at hand: say one or touch one
no-tooth-touch = no tooth at hand: touch one

## The patient

dog = dog
cat = cat
no-weight = no weight
finished-mark = FINISHED
invented-mark = INVENTED
invented = invented
patient = Patient
new-patient = New patient
no-visit = No visit is open
name = Name
species = Species
weight-kg = Weight in kg
sex = Sex
not-known = not known
breed = Breed
born = Born (2019 or 2019-05-31)
clinic-number = Number of the clinic
microchip = Microchip
owner = Owner
vet = Vet
nurse = Nurse
invented-data = Practice: invented data, told on every output
save = Save
open-the-visit = Open the visit
clear-form = Clear the form
name-missing = The name is missing
species-missing = Dog or cat?
weight-is-right = An unusual weight is right
felv = FeLV test (cats)
fiv = FIV test (cats)
test-positive = positive
test-negative = negative
weight-wrong = { $weight } is no weight in kg
draft-back = What you typed before is here again.

## The tooth

previous-tooth = Previous tooth
next-tooth = Next tooth
looking-at = Looking at { $tooth }: nothing is entered here.
looking-while = Looking at { $tooth }: nothing is entered here. The work is at { $at }.
looking-finished = The visit is finished: it is only looked at.
work-at = Work at { $tooth }
back-to = Back to { $tooth }
not-read = not read
mm-words = { $mm ->
    [one] { $mm } millimetre
   *[other] { $mm } millimetres
}
deep = deep
was = was { $mm }
gum = gum { $mm }
blood = blood
bleeding = bleeding
recession-of = recession { $mm }
enlargement-of = enlargement { $mm }
last-visit-was = last visit { $mm }
filled-next = filled next
touch-to-change = touch to change
confirmed = confirmed
not-confirmed = not confirmed
doubtful = doubtful, { $percent } % sure, not confirmed
count-doubtful = { $count } doubtful
count-not-confirmed = { $count } not confirmed
spoken-note = spoken, kept as sound
at-hand = at hand
nothing-charted = nothing charted
decision-is = decision { $words }
whole-mouth = Whole mouth
touch-looks = A touch looks only
touch-works = A touch works there
teeth-not-charted = { $count ->
    [one] tooth not charted
   *[other] teeth not charted
}
to-confirm = to confirm
entries = { $count ->
    [one] entry
   *[other] entries
}
not-confirmed-count = not confirmed

## The pad

tab-depths = Depths
tab-findings = Findings
tab-decide = Decide
choose-a-tooth = Choose a tooth first
tooth-missing = { $tooth } missing
all-six = All six
all-six-which = { $tooth }: all six the same: how many mm?
all-six-of = { $tooth } all six { $mm }
all-read = All six are read. Touch one to change it, or go to the next tooth.
reading-of = { $tooth } { $place }: { $kind } in mm
as-last-visit = As last visit
withdraw-this = Withdraw
rest-normal = Rest normal…
rest-normal-which = Which teeth are normal?
rest-normal-what = Only teeth without any entry. It stands for no depth.
upper-jaw = Upper jaw
lower-jaw = Lower jaw
quadrant-1 = upper right
quadrant-2 = upper left
quadrant-3 = lower left
quadrant-4 = lower right
count-teeth = { $count ->
    [one] one tooth
   *[other] { $count } teeth
}
more-findings = More findings…
because = for { $reason }
other-reason = Other reason…
with-reason = With a reason…
months = { $count ->
    [one] { $count } month
   *[other] { $count } months
}
leave-it = Leave it
in-months = in months
work-done = Work done…
withdraw-all-short = Withdraw all…

## Findings and decisions

finding-of = { $tooth }: finding
film-finding-of = { $tooth }: on the film
on-the-film = on the film…
which-root = { $tooth }: { $words }, which root?
from-where = { $tooth }: { $words }, from where?
tooth-as-a-whole = the tooth as a whole
months-which = Look again in how many months?
months-not-said = Months not said
treat-how = How?
no-reason = No reason given
decision-because = { $tooth }: { $words }, because of…
decision-of = { $tooth }: { $words }
reason-first = A reason, if there is one: mark it before the last touch
decided-what = { $tooth }: what did the vet decide?
the-decision = the decision
work-of = { $tooth }: work done
withdraw = Withdraw { $words }
withdraw-sure = Withdraw { $words }?
withdraw-all-sure = Withdraw all entries of { $tooth }?
entered-nothing = Entered: nothing yet
entered-touch = Entered: touch one to withdraw it

## Confirming

confirm = Confirm
confirm-all = { $count ->
    [one] Confirm it
   *[other] Confirm all { $count }
}
confirm-some = Confirm { $count } of { $all }
confirm-count = { $count ->
    [one] confirm one value
   *[other] confirm { $count } values
}
confirm-only = { $count ->
    [one] only this one
   *[other] only these { $count }
}
waits-title = { $count ->
    [one] One value waits
   *[other] { $count } values wait
}
waits-how = Touch a value to leave it out. What is not confirmed stays marked in every output.
waits-new = { $count ->
    [one] One value came meanwhile: it is not in this list.
   *[other] { $count } values came meanwhile: they are not in this list.
}
mouth-and-procedure = Mouth and procedure
undo = Undo

## Notes

note = Note
notes = Notes
note-text = Text
note-to-tooth = To tooth { $tooth }
note-to-animal = To the animal
note-empty = Type the note first
save-note = Save the note
speak-note = Speak it

## Lists

alerts = Alerts
decisions = Decisions
decision = Decision
checks = Checks
check-list = Check list
nothing-to-check = Nothing to check
by-itself = by itself
all-done = all done
charted = Charted
done = Done
mouth-word = Mouth
mouth-short = bite, lining
procedure = Procedure
procedure-short = times, blocks
longer-than = { $count ->
    [one] { $what } longer than one minute
   *[other] { $what } longer than { $count } minutes
}

## The procedure

times = Times
given-and-done = Given and done
nerve-block = Nerve block
medicine-given = Medicine given
swabs-counted = Swabs counted
swabs-how-many = How many swabs?
temperature = Temperature
temperature-c = Temperature in °C
temperature-then = { $whole }. what?
block-which = Nerve block: which?
block-name = { $side } { $block } block
drug-which = { $block }: which drug?
volume-which = { $block }, { $drug } { $percent } %: how many ml?
drug-in-all = { $drug } in all: { $sum }
drug-given = { $ml } ml ({ $mg } mg) given
drug-no-weight = { $given }; no weight, so the ceiling is not known
drug-ceiling = { $given } of at most { $ceiling } mg; up to { $left } ml of { $percent } % left
strengths-are = Strengths are those of this clinic's solutions. The ceiling is for checking only: the licensed vet decides the dose.
for-checking = For checking only: the licensed vet decides the dose.
over = over
other-volume = Other volume
from-to = { $from } to { $to } { $unit }
delete-figure = Delete the last figure
enter = Enter
medicine = Medicine
medicine-other = Other, as written on the bottle
medicine-missing = Which medicine? Choose one or type its name
medicine-kept = Goes into the drug log: what speaks against it is asked. Without an amount only the name is kept. The licensed vet decides the dose.
controlled-sign = ● controlled: wants a witness
amount = Amount (number)
unit = Unit of the amount
unit-ml = ml
unit-mg = mg
unit-ug = µg
unit-missing = An amount needs its unit
strength-which = Strength
strength-is = Strength on the shelf: { $strength }
strength-none = { $drug } has no strength on the shelf: type it
strength-other = Another strength, in mg/ml
published = published { $range }
given-by = Given by
time-ahead = That time is not today yet
batch = Batch number
batch-of = Batch of the { $what }
batch-of-which = Batch of which drug?
batch-wrong = A batch has 1 to 20 letters and figures
no-batch = no batch yet
witness = Witness
witness-who = Who saw it?
witness-what = Of the controlled drug that was entered last, and of what was thrown away of it.
wasted = Thrown away
wasted-which = Thrown away of which controlled drug?
wasted-much = { $drug }: how much was thrown away?
route = Way in
time-given = Time given
number-wrong = { $text } is no number

## The mouth

bite-and-lining = Bite and lining
away-from-teeth = Away from the teeth
where = { $what }: where?
which-side = { $what }: which side?
middle-or-no-side = In the middle, or no side
size-mm = { $what }: size in mm

## More

more = More
tooth-by-number = Tooth by number
which-row = Which row? The animal's own side
which-tooth = Which tooth?
deciduous = deciduous
what-is-missing = What is missing?
say-again = Say again
stop-speaking = Stop speaking
compare-last = Compare with last visit
earlier-visits = Earlier visits
search-by = Name, owner, number, breed or date
none-found = None found
left-open = left open
this-animal = this animal
compare-with-this = Compare with the visit at hand
go-on-with-this = Go on with this visit
nothing-abnormal-charted = Nothing abnormal charted
compare-title = { $name }: { $day } and today
today = Today
change = Change
not-charted-yet = not charted yet
no-difference = No difference in the teeth charted then
only-today = { $count ->
    [one] One tooth is charted today and was not then
   *[other] { $count } teeth are charted today and were not then
}
deepest-more = deepest { $mm } mm more
deepest-less = deepest { $mm } mm less
finish-the-visit = Finish the visit
finish-sure = Finish this visit?
light-or-dark = Light or dark
wall-view = View for the wall
print-page = Print the chart
own-sayings = What was not understood
own-sayings-what = Said at your table and refused. Touch what should be understood from the next start.
own-sayings-none = Nothing was refused twice or more.
own-sayings-count = { $count } times
own-sayings-of = “{ $said }”
own-sayings-means = It stands for this sentence
own-sayings-take = Take it
own-sayings-empty = Write the sentence that it stands for.
own-sayings-taken = “{ $said }” means “{ $means }” from the next start.
own-sayings-more = Further ones
browsers = Who may use this page
browser-unnamed = unnamed browser
browser-seen = seen { $when }
browser-this = this one
browser-only-this = No other browser was let in.
shut-out = Shut out
shut-out-others = Shut out all others

## After the end

finished-title = The visit is finished
papers = Report and export
papers-unconfirmed = { $count ->
    [one] One value was confirmed by nobody: every output marks it.
   *[other] { $count } values were confirmed by nobody: every output marks them.
}
report = Report (PDF)
owners-sheet = Sheet for the owner (PDF)
for-other-programs = For other programs
export-json = Record (JSON)
export-fhir = Record (FHIR)
export-csv = Table (CSV)
addendum = Addendum
addenda = Addenda
addendum-what = Words added after the end. The visit stays finished; nothing that stands there is changed.
addendum-text = What is to be added
addendum-empty = Type the addendum first
addendum-save = Save the addendum
reopen = Open again
reopenings = Opened again
reopen-what = The visit goes on where it was. The reason stays in the record.
reopen-text = Why
reopen-empty = Type the reason first
reopen-save = Open the visit again
and-then = And then

## Keys

keys-title = Keys and foot pedal
key-figures = a reading for the marked place; it goes on to the next
key-high = eleven to nineteen
key-sites = another place of the tooth
key-withdraw = withdraw the reading of the marked place
key-next = next tooth
key-previous = previous tooth
key-confirm = what waits for confirmation; Page Down once more confirms all of the list
key-undo = undo
key-yes = yes to a question
key-no = no to a question
key-all = all six the same: then the figure
key-last = as last visit
key-tabs = depths, findings, decision
key-pause = pause, go on
key-note = note
key-repeat = say again
key-quiet = stop speaking
key-procedure = procedure
key-mouth = mouth
key-more = more
key-theme = light or dark
key-esc = close; what was typed is kept
keys-pedal = A foot pedal that acts as a keyboard is set to Page Down (confirm) and Page Up (undo). A question is answered by Y and X only, never by the pedal.
speech-is-english = The program hears and speaks English only, whatever the language of this page. What it heard, said and asks stands here as it was.

## Surgery, and going home

surgery-and-home = Surgery, and going home
complication = Complication
done-about-it = Done about it
owner-told = Owner told
owner-asked = Owner asked to agree
owner-answer = { $words }: what did the owner say?
agreed = agreed
declined = declined
way-not-said = not said
sample-taken = Sample taken
samples-sent = Samples sent
result-due = Samples sent: when is the result due?
home-medicine = Medicine for home
home-care = Care at home
for-how-long = { $what }: for how long?
second-visit = Second visit in
times-a-day = { $count ->
    [one] once a day
    [2] twice a day
   *[other] { $count } times a day
}
at-tooth = at { $tooth }
decided-for-mouth = Lumps and sores, decisions
decide-for-mouth = Decide for the mouth
how-it-looks = how it looks
for-second-visit = for a second visit
for-today = for today after all

## The anaesthetic

anaesthetic = Anaesthetic
emergency = Emergency
vital-signs = Vital signs
course = Course
drugs = Drugs
tube-in = Tube in
tube-size = Size of the tube
size-not-said = Size not said
asa-status = ASA status
not-reading = Not reading
write-number = Write a number in { $unit }
pressure-systolic = Systolic
pressure-diastolic = Diastolic
pressure-mean = Mean
in-all = In all: { $sums }
unwitnessed = { $count ->
    [one] one controlled drug without a witness
   *[other] { $count } controlled drugs without a witness
}
just-now = now
machine-read = monitor
stands-low = low
stands-high = high
stands-low-again = low twice
stands-high-again = high twice

## Groups of teeth, kinds of flap

decide-for-group = Decide for a group of teeth
from-tooth-to-tooth = From one tooth to another
group-what = Teeth that are missing, decided already, or asked about one by one are left out, and told.
kind-not-said = kind not said

## Signing

sign = Sign
sign-who = Who signs?
sign-what = The record as it stands, with all that is marked in it.
sign-nobody = Nobody is enrolled here: sulcus sign --enrol "Name" gives a name its PIN.
sign-pin = { $name } signs
sign-anyway = Sign anyway
sign-not-yet = Not yet
pin = PIN
pin-wrong = A PIN has four to twelve digits
signed-by = Signed by { $name }, { $when }
signed-later = { $count ->
    [one] one entry after it is not signed
   *[other] { $count } entries after it are not signed
}
not-signed = Not signed
