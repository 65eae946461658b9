-- The practice's archive: clinics, who may do what, and visits as the tables delivered them.
--
-- Whoever asks is known by a secret, set for the transaction (`sulcus.secret`). The clinic follows from the secret and
-- from nothing else: a fault of the program that names another clinic finds nothing there.

CREATE TABLE sulcus.clinic (
    id uuid PRIMARY KEY DEFAULT gen_random_uuid(),
    name text NOT NULL UNIQUE CHECK (name <> ''),
    -- Visits finished longer ago are deleted by rule; none: all are kept.
    keep_years integer CHECK (keep_years > 0),
    created_at timestamptz NOT NULL DEFAULT now()
);

-- What each role may do.
CREATE TABLE sulcus.role_right (
    role text NOT NULL,
    what text NOT NULL,
    PRIMARY KEY (role, what)
);
INSERT INTO sulcus.role_right (role, what) VALUES
    -- A dental table: hands its visits over, and reads the history of a patient.
    ('table', 'deliver'), ('table', 'read'), ('table', 'forget'),
    ('reception', 'read'), ('reception', 'print'), ('reception', 'merge'),
    ('nurse', 'read'), ('nurse', 'print'), ('nurse', 'merge'),
    ('vet', 'read'), ('vet', 'print'), ('vet', 'merge'), ('vet', 'export'), ('vet', 'study'),
    ('owner', 'read'), ('owner', 'print'), ('owner', 'merge'), ('owner', 'export'), ('owner', 'study'),
    ('owner', 'forget'), ('owner', 'log'),
    -- Tables for a study, without names and dates; no visit and no patient.
    ('study', 'study');

-- People and tables. Only the SHA-256 of what they hold is kept.
CREATE TABLE sulcus.account (
    id uuid PRIMARY KEY DEFAULT gen_random_uuid(),
    clinic uuid NOT NULL REFERENCES sulcus.clinic (id),
    name text NOT NULL CHECK (name <> ''),
    role text NOT NULL CHECK (role IN ('table', 'reception', 'nurse', 'vet', 'owner', 'study')),
    secret_hash bytea UNIQUE,
    -- A table is let in once by a code that ends.
    code_hash bytea UNIQUE,
    code_until timestamptz,
    -- Public half of the key with which a table signs, 64 hexadecimal digits.
    signing_key text,
    created_at timestamptz NOT NULL DEFAULT now(),
    ended_at timestamptz,
    seen_at timestamptz,
    -- Seconds by which its clock was ahead of the archive's when it was seen last.
    clock_ahead_s bigint
);
-- One name, one account at a time.
CREATE UNIQUE INDEX account_by_name ON sulcus.account (clinic, name) WHERE ended_at IS NULL;

-- A browser at the front desk that somebody entered with their own secret.
CREATE TABLE sulcus.session (
    secret_hash bytea PRIMARY KEY,
    account uuid NOT NULL REFERENCES sulcus.account (id),
    until timestamptz NOT NULL
);

CREATE FUNCTION sulcus.account_id() RETURNS uuid
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    WITH asked AS (
        SELECT sha256(convert_to(nullif(current_setting('sulcus.secret', true), ''), 'UTF8')) AS hash
    )
    SELECT a.id FROM sulcus.account a, asked
        WHERE a.secret_hash = asked.hash AND a.ended_at IS NULL
    UNION ALL
    SELECT a.id FROM sulcus.session s JOIN sulcus.account a ON a.id = s.account, asked
        WHERE s.secret_hash = asked.hash AND s.until > now() AND a.ended_at IS NULL
    LIMIT 1
$$;

CREATE FUNCTION sulcus.clinic_id() RETURNS uuid
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    SELECT clinic FROM sulcus.account WHERE id = sulcus.account_id()
$$;

CREATE FUNCTION sulcus.may(wanted text) RETURNS boolean
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    SELECT EXISTS (
        SELECT FROM sulcus.account a JOIN sulcus.role_right r ON r.role = a.role
            WHERE a.id = sulcus.account_id() AND r.what = wanted
    )
$$;

-- An animal as this clinic knows it. The same identifier, species and name are one; anything else is for a person to
-- say.
CREATE TABLE sulcus.patient (
    id uuid PRIMARY KEY DEFAULT gen_random_uuid(),
    clinic uuid NOT NULL REFERENCES sulcus.clinic (id),
    species text NOT NULL,
    name text NOT NULL,
    identifier text,
    owner text,
    -- What a search finds it by, in lower case.
    search text NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    UNIQUE (clinic, id)
);
CREATE UNIQUE INDEX patient_by_identifier ON sulcus.patient (clinic, species, lower(name), lower(identifier))
    WHERE identifier IS NOT NULL;
CREATE INDEX patient_by_name ON sulcus.patient (clinic, species, lower(name));

CREATE TABLE sulcus.visit (
    clinic uuid NOT NULL REFERENCES sulcus.clinic (id),
    id uuid NOT NULL,
    -- The account of the table that delivered it first.
    delivered_by uuid NOT NULL REFERENCES sulcus.account (id),
    patient uuid NOT NULL,
    -- The patient as the visit itself has it, as JSON.
    as_recorded text NOT NULL,
    state text NOT NULL,
    opened_at timestamptz NOT NULL,
    finished_at timestamptz,
    entry_count bigint NOT NULL,
    head_hash text NOT NULL,
    value_count bigint NOT NULL,
    confirmed_count bigint NOT NULL,
    lost_count bigint NOT NULL,
    is_invented boolean NOT NULL,
    received_at timestamptz NOT NULL DEFAULT now(),
    changed_at timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (clinic, id),
    FOREIGN KEY (clinic, patient) REFERENCES sulcus.patient (clinic, id)
);
CREATE INDEX visit_by_patient ON sulcus.visit (clinic, patient, opened_at);
CREATE INDEX visit_by_time ON sulcus.visit (clinic, opened_at);

-- Entries of a visit as they were delivered: a JSON list of rows with exactly the text that is hashed.
CREATE TABLE sulcus.stretch (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    first bigint NOT NULL,
    last bigint NOT NULL CHECK (last >= first),
    rows text NOT NULL,
    received_at timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (clinic, visit, first),
    FOREIGN KEY (clinic, visit) REFERENCES sulcus.visit (clinic, id)
);

-- Signed heads that came with them.
CREATE TABLE sulcus.seal (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    number bigint NOT NULL,
    hash text NOT NULL,
    at text NOT NULL,
    occasion text NOT NULL,
    key text NOT NULL,
    signature text NOT NULL,
    PRIMARY KEY (clinic, visit, number, occasion, key, signature),
    FOREIGN KEY (clinic, visit) REFERENCES sulcus.visit (clinic, id)
);

-- When a patient is to come again, as the plan of a visit says.
CREATE TABLE sulcus.recheck (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    number integer NOT NULL,
    from_day date,
    until_day date NOT NULL,
    teeth text NOT NULL,
    what text NOT NULL,
    PRIMARY KEY (clinic, visit, number),
    FOREIGN KEY (clinic, visit) REFERENCES sulcus.visit (clinic, id)
);
CREATE INDEX recheck_by_day ON sulcus.recheck (clinic, until_day);

-- What stays of a visit that was deleted as a whole.
CREATE TABLE sulcus.tombstone (
    clinic uuid NOT NULL REFERENCES sulcus.clinic (id),
    visit uuid NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    reason text NOT NULL CHECK (reason <> ''),
    entry_count bigint NOT NULL,
    last_hash text NOT NULL,
    PRIMARY KEY (clinic, visit)
);

-- Deliveries that were refused, for a person to look at. Those that were signed and part from what is held keep their
-- text, so that nothing is lost.
CREATE TABLE sulcus.refused (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    clinic uuid NOT NULL REFERENCES sulcus.clinic (id),
    visit uuid NOT NULL,
    account uuid NOT NULL REFERENCES sulcus.account (id),
    at timestamptz NOT NULL DEFAULT now(),
    times bigint NOT NULL DEFAULT 1,
    why text NOT NULL,
    digest bytea NOT NULL,
    body text,
    UNIQUE (clinic, digest)
);

-- Who read, printed, exported, merged, deleted, and when.
CREATE TABLE sulcus.access (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    clinic uuid NOT NULL REFERENCES sulcus.clinic (id),
    at timestamptz NOT NULL DEFAULT clock_timestamp(),
    -- Empty where the rule or the keeper of the archive did it.
    account uuid,
    name text NOT NULL,
    role text NOT NULL,
    action text NOT NULL,
    visit uuid,
    patient uuid,
    detail text NOT NULL
);
CREATE INDEX access_by_time ON sulcus.access (clinic, at);

CREATE FUNCTION sulcus.only_grows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the archive only grows: % of % is refused', TG_OP, TG_TABLE_NAME USING ERRCODE = '42501';
END $$;
CREATE TRIGGER stretch_is_never_changed BEFORE UPDATE ON sulcus.stretch
    FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();
CREATE TRIGGER seal_is_never_changed BEFORE UPDATE ON sulcus.seal
    FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();
CREATE TRIGGER tombstone_is_never_changed BEFORE UPDATE OR DELETE ON sulcus.tombstone
    FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();
CREATE TRIGGER access_is_never_changed BEFORE UPDATE OR DELETE ON sulcus.access
    FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();

CREATE FUNCTION sulcus.needs_tombstone() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT EXISTS (SELECT FROM sulcus.tombstone t WHERE t.clinic = OLD.clinic AND t.visit = OLD.visit) THEN
        RAISE EXCEPTION 'the archive only grows: visit % has no tombstone', OLD.visit USING ERRCODE = '42501';
    END IF;
    RETURN OLD;
END $$;
CREATE TRIGGER stretch_goes_with_its_visit BEFORE DELETE ON sulcus.stretch
    FOR EACH ROW EXECUTE FUNCTION sulcus.needs_tombstone();

CREATE FUNCTION sulcus.is_not_forgotten() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT FROM sulcus.tombstone t WHERE t.clinic = NEW.clinic AND t.visit = NEW.id) THEN
        RAISE EXCEPTION 'visit % was forgotten', NEW.id USING ERRCODE = '42501';
    END IF;
    RETURN NEW;
END $$;
CREATE TRIGGER visit_is_never_reborn BEFORE INSERT ON sulcus.visit
    FOR EACH ROW EXECUTE FUNCTION sulcus.is_not_forgotten();

-- Writes down who did what; the server itself cannot write there in any other way.
CREATE FUNCTION sulcus.note(action text, visit uuid, patient uuid, detail text) RETURNS void
    LANGUAGE sql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    INSERT INTO sulcus.access (clinic, account, name, role, action, visit, patient, detail)
        SELECT a.clinic, a.id, a.name, a.role, $1, $2, $3, $4 FROM sulcus.account a WHERE a.id = sulcus.account_id()
$$;

-- Lets a table in by its code, once: from then on it is known by its secret, and signs with its key.
CREATE FUNCTION sulcus.join_table(code text, secret_hash bytea, signing_key text)
    RETURNS TABLE (clinic_name text, table_name text)
    LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE joined sulcus.account;
BEGIN
    UPDATE sulcus.account a
        SET secret_hash = $2, signing_key = $3, code_hash = NULL, code_until = NULL
        WHERE a.code_hash = sha256(convert_to($1, 'UTF8')) AND a.code_until > now() AND a.ended_at IS NULL
        RETURNING * INTO joined;
    IF joined.id IS NOT NULL THEN
        INSERT INTO sulcus.access (clinic, account, name, role, action, detail)
            VALUES (joined.clinic, joined.id, joined.name, joined.role, 'join', 'signs with ' || $3);
        RETURN QUERY SELECT c.name, joined.name FROM sulcus.clinic c WHERE c.id = joined.clinic;
    END IF;
END $$;

-- Opens the front desk in a browser for whoever asks, and ends what is out of date.
CREATE FUNCTION sulcus.open_session(session_hash bytea, hours integer) RETURNS void
    LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    DELETE FROM sulcus.session s WHERE s.until < now();
    INSERT INTO sulcus.session (secret_hash, account, until)
        SELECT $1, a.id, now() + make_interval(hours => $2) FROM sulcus.account a
            WHERE a.id = sulcus.account_id() AND a.role <> 'table';
    PERFORM sulcus.note('enter', NULL, NULL, 'front desk');
END $$;

CREATE FUNCTION sulcus.close_session(session_hash bytea) RETURNS void
    LANGUAGE sql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    DELETE FROM sulcus.session s WHERE s.secret_hash = $1
$$;

CREATE FUNCTION sulcus.was_seen(ahead bigint) RETURNS void
    LANGUAGE sql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    UPDATE sulcus.account SET seen_at = now(), clock_ahead_s = $1 WHERE id = sulcus.account_id()
$$;

-- Deletes a visit as a whole and leaves its tombstone. False where it is not held.
CREATE FUNCTION sulcus.bury(of_clinic uuid, gone uuid, why text) RETURNS boolean
    LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, pg_temp AS $$
DECLARE held sulcus.visit;
BEGIN
    SELECT * INTO held FROM sulcus.visit v WHERE v.clinic = of_clinic AND v.id = gone FOR UPDATE;
    IF held.id IS NULL THEN
        RETURN false;
    END IF;
    INSERT INTO sulcus.tombstone (clinic, visit, reason, entry_count, last_hash)
        VALUES (of_clinic, gone, why, held.entry_count, held.head_hash);
    DELETE FROM sulcus.recheck r WHERE r.clinic = of_clinic AND r.visit = gone;
    DELETE FROM sulcus.seal s WHERE s.clinic = of_clinic AND s.visit = gone;
    DELETE FROM sulcus.stretch s WHERE s.clinic = of_clinic AND s.visit = gone;
    DELETE FROM sulcus.visit v WHERE v.clinic = of_clinic AND v.id = gone;
    UPDATE sulcus.refused r SET body = NULL WHERE r.clinic = of_clinic AND r.visit = gone;
    RETURN true;
END $$;

-- By whoever may; a tombstone stands afterwards even where the visit was never delivered.
CREATE FUNCTION sulcus.forget(gone uuid, why text) RETURNS boolean
    LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE was_held boolean;
BEGIN
    IF NOT sulcus.may('forget') THEN
        RAISE EXCEPTION 'this role may not delete a visit' USING ERRCODE = '42501';
    END IF;
    was_held := sulcus.bury(sulcus.clinic_id(), gone, why);
    IF NOT was_held THEN
        INSERT INTO sulcus.tombstone (clinic, visit, reason, entry_count, last_hash)
            VALUES (sulcus.clinic_id(), gone, why, 0, '') ON CONFLICT DO NOTHING;
    END IF;
    PERFORM sulcus.note('forget', gone, NULL, why);
    RETURN was_held;
END $$;

-- Deletes what each clinic's rule bids delete. By the keeper of the archive or the server's daily round.
CREATE FUNCTION sulcus.apply_retention() RETURNS bigint
    LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    old record;
    why text;
    gone bigint := 0;
BEGIN
    FOR old IN
        SELECT v.clinic, v.id, c.keep_years FROM sulcus.visit v JOIN sulcus.clinic c ON c.id = v.clinic
            WHERE v.finished_at < now() - make_interval(years => c.keep_years)
    LOOP
        why := format('kept for %s years, by the rule of the clinic', old.keep_years);
        PERFORM sulcus.bury(old.clinic, old.id, why);
        INSERT INTO sulcus.access (clinic, name, role, action, visit, detail)
            VALUES (old.clinic, 'retention', 'rule', 'forget', old.id, why);
        gone := gone + 1;
    END LOOP;
    RETURN gone;
END $$;

-- Rows of other clinics are not there for whoever asks.
ALTER TABLE sulcus.clinic ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.account ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.session ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.patient ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.visit ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.stretch ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.seal ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.recheck ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.tombstone ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.refused ENABLE ROW LEVEL SECURITY;
ALTER TABLE sulcus.access ENABLE ROW LEVEL SECURITY;

CREATE POLICY own ON sulcus.clinic FOR SELECT USING (id = (SELECT sulcus.clinic_id()));
CREATE POLICY own ON sulcus.account FOR SELECT USING (clinic = (SELECT sulcus.clinic_id()));
CREATE POLICY reads ON sulcus.patient FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('read')));
CREATE POLICY delivers ON sulcus.patient FOR INSERT
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY reads ON sulcus.visit FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND ((SELECT sulcus.may('read')) OR (SELECT sulcus.may('study'))));
CREATE POLICY delivers ON sulcus.visit FOR INSERT
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY grows ON sulcus.visit FOR UPDATE
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY reads ON sulcus.stretch FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND ((SELECT sulcus.may('read')) OR (SELECT sulcus.may('study'))));
CREATE POLICY delivers ON sulcus.stretch FOR INSERT
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY reads ON sulcus.seal FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('read')));
CREATE POLICY delivers ON sulcus.seal FOR INSERT
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY reads ON sulcus.recheck FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('read')));
CREATE POLICY delivers ON sulcus.recheck FOR INSERT
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
-- Made again from the entries with each delivery.
CREATE POLICY made_again ON sulcus.recheck FOR DELETE
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY own ON sulcus.tombstone FOR SELECT USING (clinic = (SELECT sulcus.clinic_id()));
CREATE POLICY own ON sulcus.refused FOR SELECT USING (clinic = (SELECT sulcus.clinic_id()));
CREATE POLICY delivers ON sulcus.refused FOR INSERT
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY again ON sulcus.refused FOR UPDATE
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
CREATE POLICY reads ON sulcus.access FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('log')));

GRANT USAGE ON SCHEMA sulcus TO sulcus_server;
GRANT SELECT ON sulcus.version, sulcus.clinic, sulcus.role_right, sulcus.patient, sulcus.visit, sulcus.stretch,
    sulcus.seal, sulcus.recheck, sulcus.tombstone, sulcus.refused, sulcus.access TO sulcus_server;
GRANT SELECT (id, clinic, name, role, signing_key, created_at, ended_at, seen_at, clock_ahead_s)
    ON sulcus.account TO sulcus_server;
GRANT INSERT ON sulcus.patient, sulcus.visit, sulcus.stretch, sulcus.seal, sulcus.recheck, sulcus.refused
    TO sulcus_server;
GRANT DELETE ON sulcus.recheck TO sulcus_server;
GRANT UPDATE (patient, as_recorded, state, opened_at, finished_at, entry_count, head_hash, value_count,
    confirmed_count, lost_count, is_invented, changed_at) ON sulcus.visit TO sulcus_server;
GRANT UPDATE (times, at) ON sulcus.refused TO sulcus_server;

REVOKE EXECUTE ON ALL FUNCTIONS IN SCHEMA sulcus FROM PUBLIC;
GRANT EXECUTE ON FUNCTION sulcus.account_id(), sulcus.clinic_id(), sulcus.may(text),
    sulcus.note(text, uuid, uuid, text), sulcus.join_table(text, bytea, text), sulcus.open_session(bytea, integer),
    sulcus.close_session(bytea), sulcus.was_seen(bigint), sulcus.forget(uuid, text), sulcus.apply_retention(),
    sulcus.only_grows(), sulcus.needs_tombstone(), sulcus.is_not_forgotten() TO sulcus_server;
