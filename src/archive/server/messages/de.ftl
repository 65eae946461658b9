# Der Anfang einer deutschen Seite für den Empfang. Was hier fehlt, zeigt die Seite auf Englisch.

title = Empfang
tabs = Was gezeigt wird
tab-patients = Patienten
tab-rechecks = Nachkontrollen
tab-study = Studientabelle
tab-access = Wer was getan hat
key = Ihr Schlüssel
enter = Anmelden
leave = Abmelden
no-answer = Das Archiv antwortet nicht. Ist das Netz da, und läuft das Archiv?
nothing = Nichts gefunden.
dog = Hund
cat = Katze
search-for = Name, Nummer, Halter, Rasse
search = Suchen
found = Gefundene Patienten
patient = Patient
number = Nummer
owner = Halter
visits = Besuche
last = Zuletzt
visits-newest = Besuche, neueste zuerst
opened = Begonnen
table = Tisch
state = Stand
state-open = offen
state-finished = abgeschlossen
papers = Papiere
invented = erfunden
unconfirmed = { $total ->
    [one] { $count } von einem Wert nicht bestätigt
   *[other] { $count } von { $total } Werten nicht bestätigt
}
lost = { $count ->
    [one] ein Eintrag von der Platte verloren
   *[other] { $count } Einträge von der Platte verloren
}
report = Bericht
owner-sheet = Blatt für den Halter
due-up-to = Fällig bis
show = Zeigen
due = Fällig
due-from = { $from } bis { $until }
overdue = überfällig
result-awaited = Befund steht aus
teeth = Zähne
