# Words of the front desk's page. English is complete; another language gives the keys that it has, the others are shown
# in English. What was said at the table, reasons that people typed, papers and what the archive itself answers stay in
# the language that they are in.

## The frame

title = Front desk
tabs = What to see
tab-patients = Patients
tab-rechecks = Rechecks
tab-study = Study table
tab-access = Who did what
key = Your key
enter = Enter
leave = Leave
who = { $name } ({ $role }), { $clinic }
no-answer = The archive does not answer. Is the network there, and does the archive run?
answers = The archive answers { $status }.
nothing = Nothing found.

## Roles and species

role-owner = owner
role-vet = vet
role-nurse = nurse
role-reception = reception
role-study = study
role-table = table
dog = dog
cat = cat

## Patients

search-for = Name, number, owner, breed
search = Search
found = Patients found
patient = Patient
number = Number
owner = Owner
visits = Visits
last = Last
chip = chip { $number }

## One animal

visits-newest = Visits, newest first
opened = Opened
table = Table
state = State
state-open = open
state-finished = finished
as = As
papers = Papers
invented = invented
unconfirmed = { $total ->
    [one] { $count } of one value unconfirmed
   *[other] { $count } of { $total } values unconfirmed
}
lost = { $count ->
    [one] one entry lost by the disk
   *[other] { $count } entries lost by the disk
}
report = Report
owner-sheet = Sheet for the owner
said-one = Said to be one animal
merged = Merged
is = Is
said-by = Said by
why = Why
or-not = Or not?
not-one = They are not one
may-be-one = May be the same animal: you decide
look-alikes = Look-alikes
is-it = Is it?
are-one = They are one
why-short = why
why-of = Why: { $what }

## What is due

due-up-to = Due up to
show = Show
due-what = Not here again since, or a result that nobody has read
due = Due
due-from = { $from } to { $until }
overdue = overdue
result-awaited = result awaited
what = What
teeth = Teeth
seen = Seen

## The study table

study-what = One row a value of all finished visits, without names, dates and free text.
with-breed = With the breed: together with age it may give an animal away
with-invented = With invented visits
study-save = Save the table

## Who did what

newest-first = Newest first
when = When
did-who = Who
did = Did
did-of = Of
did-more = More
