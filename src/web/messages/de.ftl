# Der Anfang einer deutschen Seite. Was hier fehlt, zeigt die Seite auf Englisch; die Namen der Schlüssel und Lücken
# prüft cargo test. Gehört und gesprochen wird Englisch, ganz gleich, was hier steht.

live = VERBUNDEN
not-live = NICHT VERBUNDEN
dead-why = Das Programm antwortet nicht.
dead-since = { $seconds ->
    [one] Was Sie sehen, ist eine Sekunde alt. Es wird von selbst weiter versucht.
   *[other] Was Sie sehen, ist { $seconds } s alt. Es wird von selbst weiter versucht.
}
close = Schließen
yes = Ja
no = Nein
next = Als Nächstes
entered = Eingetragen
confirm = Bestätigen
confirm-all = { $count ->
    [one] Diesen bestätigen
   *[other] Alle { $count } bestätigen
}
undo = Zurück
note = Notiz
more = Mehr
pause = Pause
go-on = Weiter
next-tooth = Nächster Zahn
previous-tooth = Voriger Zahn
teeth-not-charted = { $count ->
    [one] Zahn ohne Eintrag
   *[other] Zähne ohne Eintrag
}
to-confirm = zu bestätigen
speech-is-english = Das Programm hört und spricht nur Englisch, gleich in welcher Sprache diese Seite ist. Was es gehört, gesagt und gefragt hat, steht hier, wie es war.
