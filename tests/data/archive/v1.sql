--
-- PostgreSQL database dump
--


-- Dumped from database version 15.18 (Debian 15.18-0+deb12u1)
-- Dumped by pg_dump version 15.18 (Debian 15.18-0+deb12u1)

SET statement_timeout = 0;
SET lock_timeout = 0;
SET idle_in_transaction_session_timeout = 0;
SET client_encoding = 'UTF8';
SET standard_conforming_strings = on;
SELECT pg_catalog.set_config('search_path', '', false);
SET check_function_bodies = false;
SET xmloption = content;
SET client_min_messages = warning;
SET row_security = off;

--
-- Name: sulcus; Type: SCHEMA; Schema: -; Owner: keeper
--

CREATE SCHEMA sulcus;


ALTER SCHEMA sulcus OWNER TO keeper;

--
-- Name: account_id(); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.account_id() RETURNS uuid
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $$
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


ALTER FUNCTION sulcus.account_id() OWNER TO keeper;

--
-- Name: apply_retention(); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.apply_retention() RETURNS bigint
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $$
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


ALTER FUNCTION sulcus.apply_retention() OWNER TO keeper;

--
-- Name: bury(uuid, uuid, text); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.bury(of_clinic uuid, gone uuid, why text) RETURNS boolean
    LANGUAGE plpgsql
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $$
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


ALTER FUNCTION sulcus.bury(of_clinic uuid, gone uuid, why text) OWNER TO keeper;

--
-- Name: clinic_id(); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.clinic_id() RETURNS uuid
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $$
    SELECT clinic FROM sulcus.account WHERE id = sulcus.account_id()
$$;


ALTER FUNCTION sulcus.clinic_id() OWNER TO keeper;

--
-- Name: close_session(bytea); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.close_session(session_hash bytea) RETURNS void
    LANGUAGE sql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $_$
    DELETE FROM sulcus.session s WHERE s.secret_hash = $1
$_$;


ALTER FUNCTION sulcus.close_session(session_hash bytea) OWNER TO keeper;

--
-- Name: forget(uuid, text); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.forget(gone uuid, why text) RETURNS boolean
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $$
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


ALTER FUNCTION sulcus.forget(gone uuid, why text) OWNER TO keeper;

--
-- Name: is_not_forgotten(); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.is_not_forgotten() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    IF EXISTS (SELECT FROM sulcus.tombstone t WHERE t.clinic = NEW.clinic AND t.visit = NEW.id) THEN
        RAISE EXCEPTION 'visit % was forgotten', NEW.id USING ERRCODE = '42501';
    END IF;
    RETURN NEW;
END $$;


ALTER FUNCTION sulcus.is_not_forgotten() OWNER TO keeper;

--
-- Name: join_table(text, bytea, text); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.join_table(code text, secret_hash bytea, signing_key text) RETURNS TABLE(clinic_name text, table_name text)
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $_$
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
END $_$;


ALTER FUNCTION sulcus.join_table(code text, secret_hash bytea, signing_key text) OWNER TO keeper;

--
-- Name: may(text); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.may(wanted text) RETURNS boolean
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $$
    SELECT EXISTS (
        SELECT FROM sulcus.account a JOIN sulcus.role_right r ON r.role = a.role
            WHERE a.id = sulcus.account_id() AND r.what = wanted
    )
$$;


ALTER FUNCTION sulcus.may(wanted text) OWNER TO keeper;

--
-- Name: needs_tombstone(); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.needs_tombstone() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    IF NOT EXISTS (SELECT FROM sulcus.tombstone t WHERE t.clinic = OLD.clinic AND t.visit = OLD.visit) THEN
        RAISE EXCEPTION 'the archive only grows: visit % has no tombstone', OLD.visit USING ERRCODE = '42501';
    END IF;
    RETURN OLD;
END $$;


ALTER FUNCTION sulcus.needs_tombstone() OWNER TO keeper;

--
-- Name: note(text, uuid, uuid, text); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.note(action text, visit uuid, patient uuid, detail text) RETURNS void
    LANGUAGE sql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $_$
    INSERT INTO sulcus.access (clinic, account, name, role, action, visit, patient, detail)
        SELECT a.clinic, a.id, a.name, a.role, $1, $2, $3, $4 FROM sulcus.account a WHERE a.id = sulcus.account_id()
$_$;


ALTER FUNCTION sulcus.note(action text, visit uuid, patient uuid, detail text) OWNER TO keeper;

--
-- Name: only_grows(); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.only_grows() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    RAISE EXCEPTION 'the archive only grows: % of % is refused', TG_OP, TG_TABLE_NAME USING ERRCODE = '42501';
END $$;


ALTER FUNCTION sulcus.only_grows() OWNER TO keeper;

--
-- Name: open_session(bytea, integer); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.open_session(session_hash bytea, hours integer) RETURNS void
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $_$
BEGIN
    DELETE FROM sulcus.session s WHERE s.until < now();
    INSERT INTO sulcus.session (secret_hash, account, until)
        SELECT $1, a.id, now() + make_interval(hours => $2) FROM sulcus.account a
            WHERE a.id = sulcus.account_id() AND a.role <> 'table';
    PERFORM sulcus.note('enter', NULL, NULL, 'front desk');
END $_$;


ALTER FUNCTION sulcus.open_session(session_hash bytea, hours integer) OWNER TO keeper;

--
-- Name: was_seen(bigint); Type: FUNCTION; Schema: sulcus; Owner: keeper
--

CREATE FUNCTION sulcus.was_seen(ahead bigint) RETURNS void
    LANGUAGE sql SECURITY DEFINER
    SET search_path TO 'pg_catalog', 'pg_temp'
    AS $_$
    UPDATE sulcus.account SET seen_at = now(), clock_ahead_s = $1 WHERE id = sulcus.account_id()
$_$;


ALTER FUNCTION sulcus.was_seen(ahead bigint) OWNER TO keeper;

SET default_tablespace = '';

SET default_table_access_method = heap;

--
-- Name: access; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.access (
    id bigint NOT NULL,
    clinic uuid NOT NULL,
    at timestamp with time zone DEFAULT clock_timestamp() NOT NULL,
    account uuid,
    name text NOT NULL,
    role text NOT NULL,
    action text NOT NULL,
    visit uuid,
    patient uuid,
    detail text NOT NULL
);


ALTER TABLE sulcus.access OWNER TO keeper;

--
-- Name: access_id_seq; Type: SEQUENCE; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.access ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME sulcus.access_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);


--
-- Name: account; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.account (
    id uuid DEFAULT gen_random_uuid() NOT NULL,
    clinic uuid NOT NULL,
    name text NOT NULL,
    role text NOT NULL,
    secret_hash bytea,
    code_hash bytea,
    code_until timestamp with time zone,
    signing_key text,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    ended_at timestamp with time zone,
    seen_at timestamp with time zone,
    clock_ahead_s bigint,
    CONSTRAINT account_name_check CHECK ((name <> ''::text)),
    CONSTRAINT account_role_check CHECK ((role = ANY (ARRAY['table'::text, 'reception'::text, 'nurse'::text, 'vet'::text, 'owner'::text, 'study'::text])))
);


ALTER TABLE sulcus.account OWNER TO keeper;

--
-- Name: clinic; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.clinic (
    id uuid DEFAULT gen_random_uuid() NOT NULL,
    name text NOT NULL,
    keep_years integer,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT clinic_keep_years_check CHECK ((keep_years > 0)),
    CONSTRAINT clinic_name_check CHECK ((name <> ''::text))
);


ALTER TABLE sulcus.clinic OWNER TO keeper;

--
-- Name: patient; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.patient (
    id uuid DEFAULT gen_random_uuid() NOT NULL,
    clinic uuid NOT NULL,
    species text NOT NULL,
    name text NOT NULL,
    identifier text,
    owner text,
    search text NOT NULL,
    created_at timestamp with time zone DEFAULT now() NOT NULL
);


ALTER TABLE sulcus.patient OWNER TO keeper;

--
-- Name: recheck; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.recheck (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    number integer NOT NULL,
    from_day date,
    until_day date NOT NULL,
    teeth text NOT NULL,
    what text NOT NULL
);


ALTER TABLE sulcus.recheck OWNER TO keeper;

--
-- Name: refused; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.refused (
    id bigint NOT NULL,
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    account uuid NOT NULL,
    at timestamp with time zone DEFAULT now() NOT NULL,
    times bigint DEFAULT 1 NOT NULL,
    why text NOT NULL,
    digest bytea NOT NULL,
    body text
);


ALTER TABLE sulcus.refused OWNER TO keeper;

--
-- Name: refused_id_seq; Type: SEQUENCE; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.refused ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME sulcus.refused_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);


--
-- Name: role_right; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.role_right (
    role text NOT NULL,
    what text NOT NULL
);


ALTER TABLE sulcus.role_right OWNER TO keeper;

--
-- Name: seal; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.seal (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    number bigint NOT NULL,
    hash text NOT NULL,
    at text NOT NULL,
    occasion text NOT NULL,
    key text NOT NULL,
    signature text NOT NULL
);


ALTER TABLE sulcus.seal OWNER TO keeper;

--
-- Name: session; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.session (
    secret_hash bytea NOT NULL,
    account uuid NOT NULL,
    until timestamp with time zone NOT NULL
);


ALTER TABLE sulcus.session OWNER TO keeper;

--
-- Name: stretch; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.stretch (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    first bigint NOT NULL,
    last bigint NOT NULL,
    rows text NOT NULL,
    received_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT stretch_check CHECK ((last >= first))
);


ALTER TABLE sulcus.stretch OWNER TO keeper;

--
-- Name: tombstone; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.tombstone (
    clinic uuid NOT NULL,
    visit uuid NOT NULL,
    at timestamp with time zone DEFAULT now() NOT NULL,
    reason text NOT NULL,
    entry_count bigint NOT NULL,
    last_hash text NOT NULL,
    CONSTRAINT tombstone_reason_check CHECK ((reason <> ''::text))
);


ALTER TABLE sulcus.tombstone OWNER TO keeper;

--
-- Name: version; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.version (
    number integer NOT NULL,
    name text NOT NULL,
    program text NOT NULL,
    applied_at timestamp with time zone DEFAULT now() NOT NULL
);


ALTER TABLE sulcus.version OWNER TO keeper;

--
-- Name: visit; Type: TABLE; Schema: sulcus; Owner: keeper
--

CREATE TABLE sulcus.visit (
    clinic uuid NOT NULL,
    id uuid NOT NULL,
    delivered_by uuid NOT NULL,
    patient uuid NOT NULL,
    as_recorded text NOT NULL,
    state text NOT NULL,
    opened_at timestamp with time zone NOT NULL,
    finished_at timestamp with time zone,
    entry_count bigint NOT NULL,
    head_hash text NOT NULL,
    value_count bigint NOT NULL,
    confirmed_count bigint NOT NULL,
    lost_count bigint NOT NULL,
    is_invented boolean NOT NULL,
    received_at timestamp with time zone DEFAULT now() NOT NULL,
    changed_at timestamp with time zone DEFAULT now() NOT NULL
);


ALTER TABLE sulcus.visit OWNER TO keeper;

--
-- Data for Name: access; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.access OVERRIDING SYSTEM VALUE VALUES (1, '76960e09-98a8-422d-a617-55350782bdb1', '2026-11-27 03:42:32.515041+00', NULL, 'keeper', 'keeper', 'admit', NULL, NULL, 'owner as owner');
INSERT INTO sulcus.access OVERRIDING SYSTEM VALUE VALUES (2, '76960e09-98a8-422d-a617-55350782bdb1', '2026-11-27 03:42:32.532214+00', NULL, 'keeper', 'keeper', 'admit', NULL, NULL, 'Table 1 as table');
INSERT INTO sulcus.access OVERRIDING SYSTEM VALUE VALUES (3, '76960e09-98a8-422d-a617-55350782bdb1', '2026-11-27 03:42:34.630585+00', 'f87699e0-506f-447e-988f-34956149b78f', 'Table 1', 'table', 'join', NULL, NULL, 'signs with c374aa367a14b83c0ced9efa6bedb165e4a8418c1c1b2e9943a0f7b52b719bf4');


--
-- Data for Name: account; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.account VALUES ('830077b6-be10-464a-a27b-fa92ab85354d', '76960e09-98a8-422d-a617-55350782bdb1', 'owner', 'owner', '\x2265369dd0c0b4cc58780e165fb4ac877f377edddd6a5752a18781405ae6acf1', NULL, NULL, NULL, '2026-11-27 03:42:32.512743+00', NULL, NULL, NULL);
INSERT INTO sulcus.account VALUES ('f87699e0-506f-447e-988f-34956149b78f', '76960e09-98a8-422d-a617-55350782bdb1', 'Table 1', 'table', '\x5c360497d3ae78b48e8623ea670b0b2ebc4d4f390896141b4b77de17f4656634', NULL, NULL, 'c374aa367a14b83c0ced9efa6bedb165e4a8418c1c1b2e9943a0f7b52b719bf4', '2026-11-27 03:42:32.527307+00', NULL, '2026-11-27 03:42:34.840091+00', 0);


--
-- Data for Name: clinic; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.clinic VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'Clinic A (invented)', NULL, '2026-11-27 03:42:32.512743+00');


--
-- Data for Name: patient; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.patient VALUES ('cc6b3fef-ffad-4857-af9b-2590137c9300', '76960e09-98a8-422d-a617-55350782bdb1', 'cat', 'Pixel', 'DEMO-C1', 'Demo Owner Two', 'pixel
demo-c1
demo owner two
domestic shorthair
cat', '2026-11-27 03:42:34.852037+00');
INSERT INTO sulcus.patient VALUES ('332a668f-1bd6-4bac-9944-948eae0514e9', '76960e09-98a8-422d-a617-55350782bdb1', 'dog', 'Biscuit', 'DEMO-D1', 'Demo Owner One', 'biscuit
demo-d1
demo owner one
mixed breed
dog', '2026-11-27 03:42:34.908407+00');


--
-- Data for Name: recheck; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.recheck VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 1, NULL, '2026-11-05', '307 204', 'look at the monitored tooth again');
INSERT INTO sulcus.recheck VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 2, '2026-08-05', '2026-11-05', '', 'recheck of the whole mouth: worst stage at least PD2, not known for every tooth');
INSERT INTO sulcus.recheck VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 3, NULL, '2026-11-05', '', 'examine the mouth, films every year');
INSERT INTO sulcus.recheck VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 1, NULL, '2026-11-17', '108 309', 'look at the wounds');
INSERT INTO sulcus.recheck VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 2, NULL, '2027-02-03', '104', 'look at the monitored tooth again');
INSERT INTO sulcus.recheck VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 3, '2027-02-03', '2027-05-03', '', 'recheck of the whole mouth: worst stage at least PD3, not known for every tooth');


--
-- Data for Name: refused; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--



--
-- Data for Name: role_right; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.role_right VALUES ('table', 'deliver');
INSERT INTO sulcus.role_right VALUES ('table', 'read');
INSERT INTO sulcus.role_right VALUES ('table', 'forget');
INSERT INTO sulcus.role_right VALUES ('reception', 'read');
INSERT INTO sulcus.role_right VALUES ('reception', 'print');
INSERT INTO sulcus.role_right VALUES ('reception', 'merge');
INSERT INTO sulcus.role_right VALUES ('nurse', 'read');
INSERT INTO sulcus.role_right VALUES ('nurse', 'print');
INSERT INTO sulcus.role_right VALUES ('nurse', 'merge');
INSERT INTO sulcus.role_right VALUES ('vet', 'read');
INSERT INTO sulcus.role_right VALUES ('vet', 'print');
INSERT INTO sulcus.role_right VALUES ('vet', 'merge');
INSERT INTO sulcus.role_right VALUES ('vet', 'export');
INSERT INTO sulcus.role_right VALUES ('vet', 'study');
INSERT INTO sulcus.role_right VALUES ('owner', 'read');
INSERT INTO sulcus.role_right VALUES ('owner', 'print');
INSERT INTO sulcus.role_right VALUES ('owner', 'merge');
INSERT INTO sulcus.role_right VALUES ('owner', 'export');
INSERT INTO sulcus.role_right VALUES ('owner', 'study');
INSERT INTO sulcus.role_right VALUES ('owner', 'forget');
INSERT INTO sulcus.role_right VALUES ('owner', 'log');
INSERT INTO sulcus.role_right VALUES ('study', 'study');


--
-- Data for Name: seal; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.seal VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 201, '943d6f304e33f272ec4c79234f1934cd1bfeccbcb0b0fdf6c1fbba65624e2df8', '2026-11-27T03:42:34.684059159Z', 'import', 'c374aa367a14b83c0ced9efa6bedb165e4a8418c1c1b2e9943a0f7b52b719bf4', '36dd4c5059b84039bdf20e0006e240160ac692d0c788d5d8c0d7b1c88e4b88d2fb29dd13e1c013b7bfacc8b8ae36ff05ca522eadcb96ce13843ebf0d13417702');
INSERT INTO sulcus.seal VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 201, '943d6f304e33f272ec4c79234f1934cd1bfeccbcb0b0fdf6c1fbba65624e2df8', '2026-05-05T09:04:41.4Z', 'delivery', 'c374aa367a14b83c0ced9efa6bedb165e4a8418c1c1b2e9943a0f7b52b719bf4', '9138b688dc6406c056a04af1ad7d7a599125268e378c7edd38b926bba76185b280e5e48fe239f8e3696f845838e54cf687d09f8bc34c6eda03adef8a08e50c02');
INSERT INTO sulcus.seal VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 474, '8d9002b84b28b92ecde3f9dfa9b61de1b391535f5cba6a85a9eab0034efb9bf8', '2026-11-27T03:42:34.768263775Z', 'import', 'c374aa367a14b83c0ced9efa6bedb165e4a8418c1c1b2e9943a0f7b52b719bf4', '2361bc6cc33aef63feba63c5c2973ac8313764ca6a29449d01915df9df28f0f5f27fdaa6d6b175a27b9ca0a3e4977b65ced712e0da1954192c67cb08940ebe0f');
INSERT INTO sulcus.seal VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 474, '8d9002b84b28b92ecde3f9dfa9b61de1b391535f5cba6a85a9eab0034efb9bf8', '2026-11-03T08:41:03.6Z', 'delivery', 'c374aa367a14b83c0ced9efa6bedb165e4a8418c1c1b2e9943a0f7b52b719bf4', '48cef1a837883e368a79fa2e037ceef0a23249a771948836bb4dba912c19818f66f0f69506bac047e30e5feaf2e66b42b9e05cad233557d6b4cd729ea985b000');


--
-- Data for Name: session; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--



--
-- Data for Name: stretch; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.stretch VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 1, 201, '[{"number":1,"at":"2026-05-05T09:00:01.4Z","monotonic_ms":1400,"heard":null,"supersedes":"[]","event":"{\"visit_opened\":{\"patient\":{\"id\":\"DEMO-C1\",\"name\":\"Pixel\",\"species\":\"cat\",\"breed\":\"domestic shorthair\",\"sex\":\"male_neutered\",\"born\":\"2015\",\"weight\":4750,\"owner\":\"Demo Owner Two\",\"invented\":true},\"vet\":\"Vet A (invented)\",\"nurse\":\"Nurse B (invented)\"}}","hash":"ed64bc32c5d067b05dcebbda134ce4ad6d72cde9071d0b1e678347a29bf32389"},{"number":2,"at":"2026-05-05T09:00:02.8Z","monotonic_ms":2800,"heard":"{\"words\":\"109\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":109}}","hash":"b3b34e00a28ad3ce8d0d87f713a55322f91e981a1ff63bf6b18c08a56d7b46ea"},{"number":3,"at":"2026-05-05T09:00:04.2Z","monotonic_ms":4200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"9e72befbec36e69a3cb256298184aa9635a08af687c9ac7190b419c16a774c3a"},{"number":4,"at":"2026-05-05T09:00:05.6Z","monotonic_ms":5600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"d6268270b0e38814547637783168a25ff6a0b24536d954dd5d77c2d6aae86ab3"},{"number":5,"at":"2026-05-05T09:00:07Z","monotonic_ms":7000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"c787d588df7cdc48f6066925f26e34652006018cd07b93438883eca0c1a04eb7"},{"number":6,"at":"2026-05-05T09:00:08.4Z","monotonic_ms":8400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f9941bccf51fbd80554cb7607df6ba3dc99fe0f581db0e7d0cd62e78dd2dabdb"},{"number":7,"at":"2026-05-05T09:00:09.8Z","monotonic_ms":9800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ca71ae5dacf2dec010f210219df9a848b094275d2138d76c45f239bc4338d7e1"},{"number":8,"at":"2026-05-05T09:00:11.2Z","monotonic_ms":11200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"075aa3415ade3e5b400d43a601ec5325f2802621734b84e4dccac448026213eb"},{"number":9,"at":"2026-05-05T09:00:12.6Z","monotonic_ms":12600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[3,4,5,6,7,8]}}","hash":"86fbf61015c4ceee7dc69fbd4ab017d772117d58ddc88fb941d04e6cbcdbfd65"},{"number":10,"at":"2026-05-05T09:00:14Z","monotonic_ms":14000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[3,4,5,6,7,8]}}","hash":"0a0e28bbe5fb2e328c4a9b3043e3d487a753e7294484ae563866f31c507be1df"},{"number":11,"at":"2026-05-05T09:00:15.4Z","monotonic_ms":15400,"heard":"{\"words\":\"108\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":108}}","hash":"e2ce7f2a262420efed4392360f12daaf4e632bf990694e1e18bfa77a3a849c4c"},{"number":12,"at":"2026-05-05T09:00:16.8Z","monotonic_ms":16800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"4d01e555ed013b20fcddc781a5e1a07c59fd76305fceee6ef8aca712681be407"},{"number":13,"at":"2026-05-05T09:00:18.2Z","monotonic_ms":18200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"9051b427179c8e93fbca5b613e9d38b6242039128c9b1c4835f8cf29bd1f6696"},{"number":14,"at":"2026-05-05T09:00:19.6Z","monotonic_ms":19600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"cd9836dc0d53dc7a66895221cfd9d4f0124f05d8e613882fe0d0ed298f037612"},{"number":15,"at":"2026-05-05T09:00:21Z","monotonic_ms":21000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"d746002b4e5903acc6170afe001a7b94438aa495a2078cbe84450520f9133074"},{"number":16,"at":"2026-05-05T09:00:22.4Z","monotonic_ms":22400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ab7c968c6ecef88323ade3e91ea64e676028a464b1f37e41f85b1dac4881cc4b"},{"number":17,"at":"2026-05-05T09:00:23.8Z","monotonic_ms":23800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ec59216fb6eb34f0a7d6eced5e4db3576f39d9b72ee4baab49df5273e37b652f"},{"number":18,"at":"2026-05-05T09:00:25.2Z","monotonic_ms":25200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[12,13,14,15,16,17]}}","hash":"4f3b384bc3fa01448faffd1561a23262a6653ffcbc2bbf550c95b16a9d4ba084"},{"number":19,"at":"2026-05-05T09:00:26.6Z","monotonic_ms":26600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[12,13,14,15,16,17]}}","hash":"a0ba56d0f17506758e0e931a7186294649887ba1c3f5e19e699a6a7fa54f42c7"},{"number":20,"at":"2026-05-05T09:00:28Z","monotonic_ms":28000,"heard":"{\"words\":\"107\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":107}}","hash":"1e00ee94ed41c7f4b6754c6e98f7789cf0836c2da1bf6406b8a7418f67f73b57"},{"number":21,"at":"2026-05-05T09:00:29.4Z","monotonic_ms":29400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"bbefe670fa9236115aabbe5431e355efdccf15a75b3dd3ad27755b1b054114e3"},{"number":22,"at":"2026-05-05T09:00:30.8Z","monotonic_ms":30800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b77f3dfad3f06341202ad753867d2af577215b8994e6912574091cb8aa987b3f"},{"number":23,"at":"2026-05-05T09:00:32.2Z","monotonic_ms":32200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"23fe7775b2067b80282d95406440187a108ef5250832f6c86a43c7da46c2c2f3"},{"number":24,"at":"2026-05-05T09:00:33.6Z","monotonic_ms":33600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b3c644f28eb0d96143ed0d9da59483a11f8d3f1ff34b5fae580aa05cbc5d25ad"},{"number":25,"at":"2026-05-05T09:00:35Z","monotonic_ms":35000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"065429b3e4c12e2ebf29660b7cccc08e4978c21ba7f1df4b0f96ea3e5e572283"},{"number":26,"at":"2026-05-05T09:00:36.4Z","monotonic_ms":36400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"722865fcf7bd88d76ebdcac359110d6e16f2aea5b25f224bfa5458d9b7a47d01"},{"number":27,"at":"2026-05-05T09:00:37.8Z","monotonic_ms":37800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[21,22,23,24,25,26]}}","hash":"f5783bc581f36b9fadc02ff17f7b2911a5f6df751b2c7b92a1329e7d29f18d61"},{"number":28,"at":"2026-05-05T09:00:39.2Z","monotonic_ms":39200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[21,22,23,24,25,26]}}","hash":"3fb24ba64774b2d43aef14c06df0dd213b34d91912fac3b0bcc9d78320ae3b48"},{"number":29,"at":"2026-05-05T09:00:40.6Z","monotonic_ms":40600,"heard":"{\"words\":\"106\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":106}}","hash":"839cb993df61d8ccc4b99ef0f506ae98800a7f7ea5a4603dee59f735175dde8e"},{"number":30,"at":"2026-05-05T09:00:42Z","monotonic_ms":42000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"57ee4e1079b0f5cdc395ebe25b2b74a84632cce5bedda62cf7364f87a9f8f774"},{"number":31,"at":"2026-05-05T09:00:43.4Z","monotonic_ms":43400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"cb4bd04f8e929f2cd90b760c63dea41be31440dac967787740f170eb7e003e6f"},{"number":32,"at":"2026-05-05T09:00:44.8Z","monotonic_ms":44800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ac8ae96b0a249f961e8b66dc1d39e2b4c58689335b5f753f5a36e0e2a77193ff"},{"number":33,"at":"2026-05-05T09:00:46.2Z","monotonic_ms":46200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"00d342ed12fabfe9c660ca0c3189d28dc43cc9d3a3d16fb1e9bd11d0b6c060c6"},{"number":34,"at":"2026-05-05T09:00:47.6Z","monotonic_ms":47600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"34e35acad1163d9628f0cc37e83f327be81f16705ff1ba6255a611e5eb2c4ec2"},{"number":35,"at":"2026-05-05T09:00:49Z","monotonic_ms":49000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"c8e86cd4f7a64e3067fac5d288f0f4016a4353d549593c7c5c9695896f1f3506"},{"number":36,"at":"2026-05-05T09:00:50.4Z","monotonic_ms":50400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[30,31,32,33,34,35]}}","hash":"4831f0618161e568e26bce417466a240292927167bb4b1e6156d3bcc4fd66482"},{"number":37,"at":"2026-05-05T09:00:51.8Z","monotonic_ms":51800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[30,31,32,33,34,35]}}","hash":"41982f795905bfc902e2713b716365fa585f812626fee5325276a3c39aa0f400"},{"number":38,"at":"2026-05-05T09:00:53.2Z","monotonic_ms":53200,"heard":"{\"words\":\"104\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":104}}","hash":"c2a81417bd48d3fb2af35424cb7f069031c1895b8649d35c2952ee23ed2087eb"},{"number":39,"at":"2026-05-05T09:00:54.6Z","monotonic_ms":54600,"heard":"{\"words\":\"1 1 2 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"8decf44e6ef8fa13ecc1bfbb155b110ec95223d40ee4767989e14b457321d0e2"},{"number":40,"at":"2026-05-05T09:00:56Z","monotonic_ms":56000,"heard":"{\"words\":\"1 1 2 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ba666ab39ab60aaf6253ace169d385cc97ce9bdeb6adecc79685e5281374ce24"},{"number":41,"at":"2026-05-05T09:00:57.4Z","monotonic_ms":57400,"heard":"{\"words\":\"1 1 2 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"bb7443a30470911983349ede9871705e1c49efd30c5a9093f64343aa46a55a58"},{"number":42,"at":"2026-05-05T09:00:58.8Z","monotonic_ms":58800,"heard":"{\"words\":\"1 1 2 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"bc67999437493442cdfbeeaac25c02bce17fc5d5c32f6148e1619a896fe86c6f"},{"number":43,"at":"2026-05-05T09:01:00.2Z","monotonic_ms":60200,"heard":"{\"words\":\"1 1 2 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"c447506272ef7c6a9c960fe2a9f44dd6d13c0414a8d63849cba4c65b9fe10129"},{"number":44,"at":"2026-05-05T09:01:01.6Z","monotonic_ms":61600,"heard":"{\"words\":\"1 1 2 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2240f82b69c589d83b5a7f40b406119a368dda14e27981f64152d22cd832a69b"},{"number":45,"at":"2026-05-05T09:01:03Z","monotonic_ms":63000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[39,40,41,42,43,44]}}","hash":"92856c4970001cf9b178e66b3b12ef671daf827d3a604d28eb2a7bb5b189f198"},{"number":46,"at":"2026-05-05T09:01:04.4Z","monotonic_ms":64400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[39,40,41,42,43,44]}}","hash":"5e7a6df1acdb20c9933bcdb4f523605107ff09846138a1eeadd7925cc76c8191"},{"number":47,"at":"2026-05-05T09:01:05.8Z","monotonic_ms":65800,"heard":"{\"words\":\"103\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":103}}","hash":"91dcbadb67eada783c3c65684cebddbcdf2a9488c5d52eb8c29773576c169640"},{"number":48,"at":"2026-05-05T09:01:07.2Z","monotonic_ms":67200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"229fc7ba20e41c6148149e77271a648bf624051f84b71dff48c6dbe8dfe28f65"},{"number":49,"at":"2026-05-05T09:01:08.6Z","monotonic_ms":68600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"db43c2a13ffd775ae29e3ea136f596a509422a15639819e30a30a314734c8337"},{"number":50,"at":"2026-05-05T09:01:10Z","monotonic_ms":70000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"abec2b999d52cba2c755d0824c1e8343f88810a80b92a27dc1b63f4b0b76b6a2"},{"number":51,"at":"2026-05-05T09:01:11.4Z","monotonic_ms":71400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"eabc95f057336aa74a46f21d8c6e0d2ed2d1d38c01c31cef1c48d5383e9baa55"},{"number":52,"at":"2026-05-05T09:01:12.8Z","monotonic_ms":72800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"082e1050be6e5b65cbde7cf17125f190425c37cbcbcd44f07c3505c017ce8948"},{"number":53,"at":"2026-05-05T09:01:14.2Z","monotonic_ms":74200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ed2ac974b84f923126a432b31015a53861d9e15d334942d59291b65979f524fe"},{"number":54,"at":"2026-05-05T09:01:15.6Z","monotonic_ms":75600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[48,49,50,51,52,53]}}","hash":"8a1d06332987b6d32cebe8f5f171b84695605fa70fb791f57716451bdf32522f"},{"number":55,"at":"2026-05-05T09:01:17Z","monotonic_ms":77000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[48,49,50,51,52,53]}}","hash":"c847e9c1197c68af9dacfc171aa20534e351d57637025a16434462d14d814891"},{"number":56,"at":"2026-05-05T09:01:18.4Z","monotonic_ms":78400,"heard":"{\"words\":\"102\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":102}}","hash":"c7f1f1572b7a91e21412591a6b7138f37efd2fc04c3c88e9ce54fc31136e5a03"},{"number":57,"at":"2026-05-05T09:01:19.8Z","monotonic_ms":79800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"5334bf7b5636066ae9307747e4936643c941371bf1cc7f069b3546c0b8bfdb8a"},{"number":58,"at":"2026-05-05T09:01:21.2Z","monotonic_ms":81200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"aab7e385b4e7b4b660bcd438a7fbf2f73418481f2598a84200b5fb68adf0d213"},{"number":59,"at":"2026-05-05T09:01:22.6Z","monotonic_ms":82600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"461c75cac526f3074ea378c73ee6fe474455ddb2660525f49757c3b0a372120d"},{"number":60,"at":"2026-05-05T09:01:24Z","monotonic_ms":84000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"7fde458a7cfdc7f9cef09ecfe0214fadc4ea59636bf4c661b6ee65f02f432870"},{"number":61,"at":"2026-05-05T09:01:25.4Z","monotonic_ms":85400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"356a531389a6c94e0212f3cc827531393352b2f94240bd95bae9754269a97a25"},{"number":62,"at":"2026-05-05T09:01:26.8Z","monotonic_ms":86800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b2c383583fc193ed8a467abfe06bba3c670d8ec57529ce5c0ad8cff86a8f2c06"},{"number":63,"at":"2026-05-05T09:01:28.2Z","monotonic_ms":88200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[57,58,59,60,61,62]}}","hash":"26d957fc8cd93a42a5caf6f6625b3ecc426d0edbff34bc93882273bfb7482df8"},{"number":64,"at":"2026-05-05T09:01:29.6Z","monotonic_ms":89600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[57,58,59,60,61,62]}}","hash":"91c7d996696f769c716d00bb4aef64810a79d191c9c50e5089e9bf52621d460c"},{"number":65,"at":"2026-05-05T09:01:31Z","monotonic_ms":91000,"heard":"{\"words\":\"101\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":101}}","hash":"a8e7f14b2de3cc3c839b7a04f2cf9c5f73ece2f649fa02e7ce4e627475c54fed"},{"number":66,"at":"2026-05-05T09:01:32.4Z","monotonic_ms":92400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"739889e6e92e3d85b9ec8aca541beda4f4eff433f4f1b5ca5d22c9cb246adbb5"},{"number":67,"at":"2026-05-05T09:01:33.8Z","monotonic_ms":93800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"cf906acd0ed0b0d11d4ff0514f79c2b7799004c266c3516f9fe2e978a5ca248c"},{"number":68,"at":"2026-05-05T09:01:35.2Z","monotonic_ms":95200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"9ad4233aed396beff45ea7c2297e015b00498d49a060b3d3b0c1ccf19c0e6cf1"},{"number":69,"at":"2026-05-05T09:01:36.6Z","monotonic_ms":96600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e437885cff68b984dd00cf0d3d92e8ce2be0d4d9e65d899ad108f8a0c8a8304b"},{"number":70,"at":"2026-05-05T09:01:38Z","monotonic_ms":98000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"a6f953d75c397c90491eb2152131c13ba746b68911b7609b6dfdfcbaae694713"},{"number":71,"at":"2026-05-05T09:01:39.4Z","monotonic_ms":99400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f1859a63eba1d841d3e9256088bef7087e45aaa29af4319cbc45bd8cab19b0c7"},{"number":72,"at":"2026-05-05T09:01:40.8Z","monotonic_ms":100800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[66,67,68,69,70,71]}}","hash":"dc11d7542953887fd70be011f0006ad909fd271e30025558fa5402de859e4e85"},{"number":73,"at":"2026-05-05T09:01:42.2Z","monotonic_ms":102200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[66,67,68,69,70,71]}}","hash":"fcd7df0e9c441406776cd141f8e615a9699d532cffc3062ae0b5c430ddecdadc"},{"number":74,"at":"2026-05-05T09:01:43.6Z","monotonic_ms":103600,"heard":"{\"words\":\"201\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":201}}","hash":"aeb59dd8996044ab9011fba66abac1c59c47170973ab28422bd2555d963179dc"},{"number":75,"at":"2026-05-05T09:01:45Z","monotonic_ms":105000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"f882802a96ef570162066c8c592fb614771edcd6e81958ec32ae0d03a597be92"},{"number":76,"at":"2026-05-05T09:01:46.4Z","monotonic_ms":106400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"596bee288dc311fa062953c70c8b631a4a2aa71c75fc7a7d2becc6dec105d362"},{"number":77,"at":"2026-05-05T09:01:47.8Z","monotonic_ms":107800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"7c829856a3f0e4271d195accb8d131d8821b328b66045894e50fa25cef4c4198"},{"number":78,"at":"2026-05-05T09:01:49.2Z","monotonic_ms":109200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e4e2a6e508b5259168787d454389cb527ee46fd328c12f96c56c57ff68283141"},{"number":79,"at":"2026-05-05T09:01:50.6Z","monotonic_ms":110600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"03b6c76800157c39d9c0f6e4f54c18279578b487918d431abc9957559cf01815"},{"number":80,"at":"2026-05-05T09:01:52Z","monotonic_ms":112000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"3037fb18a0af02ccb185286da6e16ec306e09025da801af91e2b8ba2df10362c"},{"number":81,"at":"2026-05-05T09:01:53.4Z","monotonic_ms":113400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[75,76,77,78,79,80]}}","hash":"b4f90c850f5c8a638b83d321c5f93eecbd332fbaa2873d2c1920de62da5eac44"},{"number":82,"at":"2026-05-05T09:01:54.8Z","monotonic_ms":114800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[75,76,77,78,79,80]}}","hash":"7ba6aa8f91a774e375b6909ce2737223d193da170787bf4666753d54b5b38794"},{"number":83,"at":"2026-05-05T09:01:56.2Z","monotonic_ms":116200,"heard":"{\"words\":\"202\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":202}}","hash":"6b724453828daeca1199400e52419c98d910ad4958cb831178694fd85dbea306"},{"number":84,"at":"2026-05-05T09:01:57.6Z","monotonic_ms":117600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"025c8e22416529a2020f0fea65f0cd9666bfc5d899a1ce53f1568b52c5a70a19"},{"number":85,"at":"2026-05-05T09:01:59Z","monotonic_ms":119000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"427fdd9af0bec24322280b45532803b8196ef606d9bfbb29a5794caf310f1a7d"},{"number":86,"at":"2026-05-05T09:02:00.4Z","monotonic_ms":120400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"8c940b2e80bb056e067056de7b5e5e19e4a302f3149fced5852ff70d4dcd403c"},{"number":87,"at":"2026-05-05T09:02:01.8Z","monotonic_ms":121800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b596c18a1c0716cfe65839c3543314579a7d9c4a06b9a4d7af52cef3fe15fd3b"},{"number":88,"at":"2026-05-05T09:02:03.2Z","monotonic_ms":123200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"6646274a5fc6bdc678da9e4ad12c9d4d3e187ddcf5b96ad024b88e42a190fb7e"},{"number":89,"at":"2026-05-05T09:02:04.6Z","monotonic_ms":124600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"d9de079fd39ea9d8491ab84b1d5affb3fb938a7c72b7044b76ac49ff8dab3729"},{"number":90,"at":"2026-05-05T09:02:06Z","monotonic_ms":126000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[84,85,86,87,88,89]}}","hash":"544374e2a9f957f6849c018fba9e12df2c111a79e1c950e0d06f1af5625eadb3"},{"number":91,"at":"2026-05-05T09:02:07.4Z","monotonic_ms":127400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[84,85,86,87,88,89]}}","hash":"95652491c00b75975b81758cfcf95664846e5d8c3fb9463e0e9bbfb7ce6e0982"},{"number":92,"at":"2026-05-05T09:02:08.8Z","monotonic_ms":128800,"heard":"{\"words\":\"203\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":203}}","hash":"c9829534f11ca34b4a343d74c7518d344f6e0d47c621d4e226c07618e6c53042"},{"number":93,"at":"2026-05-05T09:02:10.2Z","monotonic_ms":130200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"a07096a450e2235301b40fe933b721fe9553c7213cc5efb8734b0ccf45f5bed7"},{"number":94,"at":"2026-05-05T09:02:11.6Z","monotonic_ms":131600,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"174674f5c7538fcc8c257e8ce19f02a93666480884852ce2aaf8d553e4c4567e"},{"number":95,"at":"2026-05-05T09:02:13Z","monotonic_ms":133000,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"e2e28b11973e1c5d5f32aae6fc83a6e1a222dfc2d7dac4288880b1f774d1ea2a"},{"number":96,"at":"2026-05-05T09:02:14.4Z","monotonic_ms":134400,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"322afe54f9b3311975f0835f882959f8451191e6133f98ca7107793207d60904"},{"number":97,"at":"2026-05-05T09:02:15.8Z","monotonic_ms":135800,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":0}},\"challenge\":null}}","hash":"307bde17e2a5e5cc79dc5b4ef6c6a6321c51ff4daf348452fbea107321a46352"},{"number":98,"at":"2026-05-05T09:02:17.2Z","monotonic_ms":137200,"heard":"{\"words\":\"0 1 0 1 0 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2b37d0a12e8a024cce95bd89abb4d547785e712a0e0249e258530887f0f77cc8"},{"number":99,"at":"2026-05-05T09:02:18.6Z","monotonic_ms":138600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[93,94,95,96,97,98]}}","hash":"ab6a5842cd47891ff6233fdf4bf6cfe30d7fbd47d455b5c4bb0765e472eaf5e6"},{"number":100,"at":"2026-05-05T09:02:20Z","monotonic_ms":140000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[93,94,95,96,97,98]}}","hash":"bed1920298098fbd684702adeb869d3b050a904066ebcab24526a4f149e4a27b"},{"number":101,"at":"2026-05-05T09:02:21.4Z","monotonic_ms":141400,"heard":"{\"words\":\"204\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":204}}","hash":"2160741b2afbf5d21ca1a8f90d25e57a317fa9ad200c1368b4ea03733622d810"},{"number":102,"at":"2026-05-05T09:02:22.8Z","monotonic_ms":142800,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"3c813b685a715d0838337d383920fa823d439adff72a2bb07d25b32a6e8e1fef"},{"number":103,"at":"2026-05-05T09:02:24.2Z","monotonic_ms":144200,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"564a78dffe70f87cbba8dd4199cd1d70f087377272a3d206a9269cb145f7873a"},{"number":104,"at":"2026-05-05T09:02:25.6Z","monotonic_ms":145600,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"807eea1791171dcbce4b458ae787137f8e5d2f3582868f07495f20ad58021bfe"},{"number":105,"at":"2026-05-05T09:02:27Z","monotonic_ms":147000,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"da263eba8413c0dea05cd3d9c9fad757edee00701541c64d381e1f9fef3dec88"},{"number":106,"at":"2026-05-05T09:02:28.4Z","monotonic_ms":148400,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"48fe732d4ed55cbce5322327eaab2915e153f5da5d4c43012de3d2730add134f"},{"number":107,"at":"2026-05-05T09:02:29.8Z","monotonic_ms":149800,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"3b08e002c39e34245442946c9f4e5fe17743582f4bd73e5f441f6b725493ff1d"},{"number":108,"at":"2026-05-05T09:02:31.2Z","monotonic_ms":151200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[102,103,104,105,106,107]}}","hash":"dad2bd88eaf11ce5d8c9b187cc0721d0caeeb02d46757d88afc389e69121be2c"},{"number":109,"at":"2026-05-05T09:02:32.6Z","monotonic_ms":152600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[102,103,104,105,106,107]}}","hash":"c1c1770cdfb583825b85aeade0e50c8ee7a5fb5fedd9fb2671566b1d45d9c189"},{"number":110,"at":"2026-05-05T09:02:34Z","monotonic_ms":154000,"heard":"{\"words\":\"206\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":206}}","hash":"896ff935235748a6559bab003c8ccbcf1ec9257083a3793408a2c687034cb1c3"},{"number":111,"at":"2026-05-05T09:02:35.4Z","monotonic_ms":155400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"3eaeabd7b2644435c9d145f4df8c91a69ced8684e68581e53889c5cd0e14a77c"},{"number":112,"at":"2026-05-05T09:02:36.8Z","monotonic_ms":156800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f0ff609818f093170a55175162346015a51237bf2c292014b12f780b63f1b531"},{"number":113,"at":"2026-05-05T09:02:38.2Z","monotonic_ms":158200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"8ed85f352c037201df04b12b7afc542a33f09c8dc0c99ee0f74facc21b212743"},{"number":114,"at":"2026-05-05T09:02:39.6Z","monotonic_ms":159600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"5f392c0690129991b1dd93487bf5cee8bb0040dcf1bcb1eaa8367f9ac5552be6"},{"number":115,"at":"2026-05-05T09:02:41Z","monotonic_ms":161000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"51173af4b5b8001b24a7e92c71b3717a84252ef0f383555c34f42dd32208e8ea"},{"number":116,"at":"2026-05-05T09:02:42.4Z","monotonic_ms":162400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ee310790485b35fac293d7bfb814ea70ae26e99ff435b7ff0f8d7b7e14a9fa07"},{"number":117,"at":"2026-05-05T09:02:43.8Z","monotonic_ms":163800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[111,112,113,114,115,116]}}","hash":"09c4f0c3103797385c994512400da9bab5df9b28a7366a856406434bf4a8b001"},{"number":118,"at":"2026-05-05T09:02:45.2Z","monotonic_ms":165200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[111,112,113,114,115,116]}}","hash":"141ad0e94043dd9aedaf55cd23c39a180398b0930cbd92970fba6190c8b68448"},{"number":119,"at":"2026-05-05T09:02:46.6Z","monotonic_ms":166600,"heard":"{\"words\":\"207\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":207}}","hash":"7957b1cea2214a6d37da431fc21a5ff746d27a2252ad222291dc13f5c6cee228"},{"number":120,"at":"2026-05-05T09:02:48Z","monotonic_ms":168000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"685d7a8e6066128c64c49153a4bce310dfcc03a6ac07a0f0b78b5937f4c51be0"},{"number":121,"at":"2026-05-05T09:02:49.4Z","monotonic_ms":169400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"bbbcc61c1d097ef0b9f7891cb3821937baf5d4089b45566391f499038ebdfcec"},{"number":122,"at":"2026-05-05T09:02:50.8Z","monotonic_ms":170800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2bdbdf41b759d01c99206b51143632529e53fdce27bac42a09d1c93e21502601"},{"number":123,"at":"2026-05-05T09:02:52.2Z","monotonic_ms":172200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"04ac9a6dc1bbdb78bce9b7548302592a0dd47b96ad8271ae397cc185e3bb88b3"},{"number":124,"at":"2026-05-05T09:02:53.6Z","monotonic_ms":173600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"dbe63a1ae16204452e5c00b8b3f45d99343e6db8f088ef5c7218f2d77093c04d"},{"number":125,"at":"2026-05-05T09:02:55Z","monotonic_ms":175000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"a3b18db5b522f4a4fced7dbd94814779ce03ff7b6eb8c7cea01fcc7eb97aa663"},{"number":126,"at":"2026-05-05T09:02:56.4Z","monotonic_ms":176400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[120,121,122,123,124,125]}}","hash":"dbd531c26a7867e4822f431aa13bf878c2dfd203eb10c83b5e9eebcbcb8d6319"},{"number":127,"at":"2026-05-05T09:02:57.8Z","monotonic_ms":177800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[120,121,122,123,124,125]}}","hash":"fc156f01cd899ede0c0cc8bf064585eb0df50f4f65f495407522ff683f587300"},{"number":128,"at":"2026-05-05T09:02:59.2Z","monotonic_ms":179200,"heard":"{\"words\":\"208\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":208}}","hash":"b5b9ef5e031f3c3969998d20bd67d7b8c24aabe102a62b60faa8e33578175527"},{"number":129,"at":"2026-05-05T09:03:00.6Z","monotonic_ms":180600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"92dde9dae1493f408c168f45ed4c21703302a7c05208ed28ccf2a5a133c0d548"},{"number":130,"at":"2026-05-05T09:03:02Z","monotonic_ms":182000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2dce4a9a9c3c5364bd7603e3cd4fe1999acf50d0ab59c9a2b5fb18bb2ea04511"},{"number":131,"at":"2026-05-05T09:03:03.4Z","monotonic_ms":183400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"84bd854ae402199b60bc6cef6fa16bc15f847249be3fb8f89fd3f168c5be2ae7"},{"number":132,"at":"2026-05-05T09:03:04.8Z","monotonic_ms":184800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"35d83af3fb0d70b89bfb318fab0362c2a9cbef812dfa2c663af3ef8d2bd704de"},{"number":133,"at":"2026-05-05T09:03:06.2Z","monotonic_ms":186200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"4137e8ddb78fa40148e656f4478cd3550d55e5f9a30c9c587db975c0a57a4f8b"},{"number":134,"at":"2026-05-05T09:03:07.6Z","monotonic_ms":187600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"3a85ab7b7a4de1806d183bc301d39962fbb864a95b64966912c37a2fc5d5476f"},{"number":135,"at":"2026-05-05T09:03:09Z","monotonic_ms":189000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[129,130,131,132,133,134]}}","hash":"2339ace30466d2137facc4fae64dd9c3ce739323e78c8645f4f16b2b2aa1f5c7"},{"number":136,"at":"2026-05-05T09:03:10.4Z","monotonic_ms":190400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[129,130,131,132,133,134]}}","hash":"f8659d898887c5e134425a1cc8b0445ce031cacf387fb4e2ff01dc225e04ba06"},{"number":137,"at":"2026-05-05T09:03:11.8Z","monotonic_ms":191800,"heard":"{\"words\":\"209\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":209}}","hash":"5aad3969f10eac0cabf7e134c296545ca045ad0e466651452fec71d0d39fc4f5"},{"number":138,"at":"2026-05-05T09:03:13.2Z","monotonic_ms":193200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"fcea1688c4b2ff86b92941cdac2a48b5631f5d4b36c8dbbf6f3bcba99bcb1d7b"},{"number":139,"at":"2026-05-05T09:03:14.6Z","monotonic_ms":194600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"6ae2ff2e981698595bcad6023478d97d1e1f7c5295c402c08c883f9a76345bd6"},{"number":140,"at":"2026-05-05T09:03:16Z","monotonic_ms":196000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f3f3e664a5621462f322795418086aa1e44e308ccfbe11067445d2fd9730de5f"},{"number":141,"at":"2026-05-05T09:03:17.4Z","monotonic_ms":197400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"7e6f2a130d94dcf68f4084b5170b5e9fc0cb35e18f49343c9a4bab23c3ae49fc"},{"number":142,"at":"2026-05-05T09:03:18.8Z","monotonic_ms":198800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"67ea39c0e08efc9d01617d4fec0e61deae2c6643910240ecd4529856fc332e79"},{"number":143,"at":"2026-05-05T09:03:20.2Z","monotonic_ms":200200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"456af59f2788777781a726ae124291348f6d5639739e44689ca40db638ce80c7"},{"number":144,"at":"2026-05-05T09:03:21.6Z","monotonic_ms":201600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[138,139,140,141,142,143]}}","hash":"513af4dd5ff42893fc6435933b86d20bfa606c4f6ef25814afba374db4162c53"},{"number":145,"at":"2026-05-05T09:03:23Z","monotonic_ms":203000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[138,139,140,141,142,143]}}","hash":"b5931f79e911c3343bea1154147d6766c2f2cb45d6024d1e922bdacc78947bc5"},{"number":146,"at":"2026-05-05T09:03:24.4Z","monotonic_ms":204400,"heard":"{\"words\":\"309\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":309}}","hash":"32449ed39a58ab6707c77c3c7cb8b775b9c91a3d9b79d0dcf1b52f73ee033d3a"},{"number":147,"at":"2026-05-05T09:03:25.8Z","monotonic_ms":205800,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"c77a40a4f251f87c36498af73d4ef44463a2fd7d6922764f9bb6bcb71f84cf57"},{"number":148,"at":"2026-05-05T09:03:27.2Z","monotonic_ms":207200,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"a3627070a0aefdf11888981cf64e193dfab468694732496249e9ac94b5cdce3e"},{"number":149,"at":"2026-05-05T09:03:28.6Z","monotonic_ms":208600,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f02fddfd98de77d287b57dad46df6bcaa2f62aff4ce2952156ad39513b5a4e6f"},{"number":150,"at":"2026-05-05T09:03:30Z","monotonic_ms":210000,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"02e507214f936035dd406aa739098e095552c21de905b99c04561135028014d5"},{"number":151,"at":"2026-05-05T09:03:31.4Z","monotonic_ms":211400,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"748c9c60a174108a1b29f5b609865bd614c8ca85b688f2f9871aebc4454bca0b"},{"number":152,"at":"2026-05-05T09:03:32.8Z","monotonic_ms":212800,"heard":"{\"words\":\"1 2 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"8f722a38c111b927de8b361641a1a67bfb56facf10309d91849e74b1e56cf377"},{"number":153,"at":"2026-05-05T09:03:34.2Z","monotonic_ms":214200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[147,148,149,150,151,152]}}","hash":"0de9147c38bdb5025ec94039f1b57573ec10ebafa2099c56a04f51e7c9acbfa9"},{"number":154,"at":"2026-05-05T09:03:35.6Z","monotonic_ms":215600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[147,148,149,150,151,152]}}","hash":"db349654508de4900061d7f576ba71b5d4fb8f424a60059d8edc27176eba0fcf"},{"number":155,"at":"2026-05-05T09:03:37Z","monotonic_ms":217000,"heard":"{\"words\":\"308\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":308}}","hash":"efbb717db4481147632558bfc3ec7b128900127894c9730e47cf3e84f7ae2018"},{"number":156,"at":"2026-05-05T09:03:38.4Z","monotonic_ms":218400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"0104b3beb571cb1a96a2bd80e149281864a7d8d59395135b2fce0f564456dab8"},{"number":157,"at":"2026-05-05T09:03:39.8Z","monotonic_ms":219800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"fef7bdd5a32a50a965e7c0a7994e41406562f669478bf5245ae0063f962c920d"},{"number":158,"at":"2026-05-05T09:03:41.2Z","monotonic_ms":221200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"41621b2d1f57cc768aebc848b665bb375698f0a1cd75440b84cc885fd3c97389"},{"number":159,"at":"2026-05-05T09:03:42.6Z","monotonic_ms":222600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"a8f0e878e91439d60f76c0f397a5fed555a219cb6d7110ce583f6703d4eca07c"},{"number":160,"at":"2026-05-05T09:03:44Z","monotonic_ms":224000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"82d4dc6edfb828ed432924a9d70efa2902669e7f4193a8c70dd6acca9ad2f339"},{"number":161,"at":"2026-05-05T09:03:45.4Z","monotonic_ms":225400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ad2355c70dc8a75130bb16f0a2c74e2599c915e69ea4b116118e3f040520e221"},{"number":162,"at":"2026-05-05T09:03:46.8Z","monotonic_ms":226800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[156,157,158,159,160,161]}}","hash":"9763ca9b6f99192697964bc232c1beddd70a245fb08f4578122c0ef193fc63c2"},{"number":163,"at":"2026-05-05T09:03:48.2Z","monotonic_ms":228200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[156,157,158,159,160,161]}}","hash":"abf93a618e232845a23ca6f70c6668c89cc16a8b618cbefae00b06bddf3c1f2a"},{"number":164,"at":"2026-05-05T09:03:49.6Z","monotonic_ms":229600,"heard":"{\"words\":\"307\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":307}}","hash":"fb10d0e51fd4881dbd9bcec601a5ae3607d316a49d7ff37ac2fe03c6279a1ead"},{"number":165,"at":"2026-05-05T09:03:51Z","monotonic_ms":231000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2b5c3049e4d9a357979fca27e9529632ffee52fa10a27267edeaa39560222700"},{"number":166,"at":"2026-05-05T09:03:52.4Z","monotonic_ms":232400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"6fcc79a0c92b8302164803f9743cf206ced5eb0aa0c59bcfa9fc49cf3150103b"},{"number":167,"at":"2026-05-05T09:03:53.8Z","monotonic_ms":233800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"49ee3a113dd8d32c85324548c65f860064f7ea73440988e6269a045b978a4b19"},{"number":168,"at":"2026-05-05T09:03:55.2Z","monotonic_ms":235200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"459e7152b1fafaaf69672a1fe48f810634057c249f2de2dcb1f2fcb193ec97f1"},{"number":169,"at":"2026-05-05T09:03:56.6Z","monotonic_ms":236600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"aaf8637abb09a81355e50e849e60ad9bbfeb1ae6ff1c6d15c9faad5399474f3f"},{"number":170,"at":"2026-05-05T09:03:58Z","monotonic_ms":238000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"4acb1a62c6b418fcf8e68a7bf31e8eb02b20554a45eee80c0f641eafc693fb08"},{"number":171,"at":"2026-05-05T09:03:59.4Z","monotonic_ms":239400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[165,166,167,168,169,170]}}","hash":"0351d7b571c51baa4767e7388f5b22ca27956ce9f207e01f83c0160ba5fd2068"},{"number":172,"at":"2026-05-05T09:04:00.8Z","monotonic_ms":240800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[165,166,167,168,169,170]}}","hash":"fe4ff5b5606cd89493ba90605623cc9acfc4904858c79faf1fc3eab05190e163"},{"number":173,"at":"2026-05-05T09:04:02.2Z","monotonic_ms":242200,"heard":"{\"words\":\"resorption stage 2\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"resorption_stage\",\"place\":\"whole\",\"value\":{\"code\":\"2\"}},\"challenge\":null}}","hash":"2cd215e1c8a6354f94be1e651a57beb9507fff09a48055ed795eb024265b89f6"},{"number":174,"at":"2026-05-05T09:04:03.6Z","monotonic_ms":243600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[173]}}","hash":"4932e550c4a7cbc6f394904137f7dfd3e6f9526f15785f09ec42f3524da61299"},{"number":175,"at":"2026-05-05T09:04:05Z","monotonic_ms":245000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[173]}}","hash":"5ce1b9e3ea1bd056acb1ec1cfc007ab88cc5c5484b517479cff31ea2633d9960"},{"number":176,"at":"2026-05-05T09:04:06.4Z","monotonic_ms":246400,"heard":"{\"words\":\"304\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":304}}","hash":"41042112a3959c7f9845d97bb9f6d9a6e4e20ad98b85e21034a8868f6dd4db61"},{"number":177,"at":"2026-05-05T09:04:07.8Z","monotonic_ms":247800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"47f19e848373a539321420b0bbedc45b972c5d137ae9c11b93e85f8fb7b7a34b"},{"number":178,"at":"2026-05-05T09:04:09.2Z","monotonic_ms":249200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b4dc159a5316746bfd2c2e12851a12b7d2bb05cf031cd023ee30da6fb23862c7"},{"number":179,"at":"2026-05-05T09:04:10.6Z","monotonic_ms":250600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"03658c8b09c44b0c8d7e97d2f298bdd98482a700a6461db1b7dca2bab1b68b4b"},{"number":180,"at":"2026-05-05T09:04:12Z","monotonic_ms":252000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e5249524c33f96f681fbecefb3e03a1a81f774544d58000216970c1acce2e9bc"},{"number":181,"at":"2026-05-05T09:04:13.4Z","monotonic_ms":253400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"fd8ee7b2bce42446774d0fbc97cafe9788e26f66dad71bd08374ae5ca4522a0c"},{"number":182,"at":"2026-05-05T09:04:14.8Z","monotonic_ms":254800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"751acbe7a94a96f39a25ba2fa0523ff089e207c7c924a7b56fd118de854fbac7"},{"number":183,"at":"2026-05-05T09:04:16.2Z","monotonic_ms":256200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[177,178,179,180,181,182]}}","hash":"30920ad39ce2c6e65085cf38bbfd69132f036b60ab2d4da313a857c6ebcceb72"},{"number":184,"at":"2026-05-05T09:04:17.6Z","monotonic_ms":257600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[177,178,179,180,181,182]}}","hash":"6b29ebdcc78ba9dc2254e95a604fb13e8f444aec3b3ffb3bfa4b707e12260721"},{"number":185,"at":"2026-05-05T09:04:19Z","monotonic_ms":259000,"heard":"{\"words\":\"gingivitis 1\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"gingivitis\",\"place\":\"whole\",\"value\":{\"grade\":1}},\"challenge\":null}}","hash":"127f49209cfd97307de8842646cab462b6441bd34c40f7808057aa675fb12da7"},{"number":186,"at":"2026-05-05T09:04:20.4Z","monotonic_ms":260400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[185]}}","hash":"1e2498c22b64f45e36e52e55ed63094afccb3c699a09f8ae6f5aac00f2646455"},{"number":187,"at":"2026-05-05T09:04:21.8Z","monotonic_ms":261800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[185]}}","hash":"97d271ade533238ff418b447e672e413f59628a5ebf0aa0c3c77c3b2c35b10a0"},{"number":188,"at":"2026-05-05T09:04:23.2Z","monotonic_ms":263200,"heard":"{\"words\":\"caudal stomatitis\",\"confidence\":0.72,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":\"mouth\",\"kind\":\"stomatitis\",\"place\":\"whole\",\"value\":{\"code\":\"caudal\"}},\"challenge\":null}}","hash":"6b857fb26f3b846063fe4da3978a3c51afc0fa485ab6d8fda2db801163768863"},{"number":189,"at":"2026-05-05T09:04:24.6Z","monotonic_ms":264600,"heard":"{\"words\":\"monitor, recheck in 6 months\",\"confidence\":0.95,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":307,\"decision\":{\"monitor\":{\"months\":6}},\"reason\":\"resorption\",\"challenge\":null}}","hash":"9dabb04d451efbb296f214f493b6241660b765af79e4bc543062c399f5169d35"},{"number":190,"at":"2026-05-05T09:04:26Z","monotonic_ms":266000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[189]}}","hash":"8aba67b52d027a076de98463f2b1be2364662ea380712f60a284d7bd5b13c651"},{"number":191,"at":"2026-05-05T09:04:27.4Z","monotonic_ms":267400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[189]}}","hash":"568de40e3d61fa3cb7296193181dfcb3f7ccd5759136eec2a65529f9b3c6421c"},{"number":192,"at":"2026-05-05T09:04:28.8Z","monotonic_ms":268800,"heard":"{\"words\":\"monitor, recheck in 6 months\",\"confidence\":0.95,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":204,\"decision\":{\"monitor\":{\"months\":6}},\"reason\":null,\"challenge\":null}}","hash":"6c71ddad72456637fd113c0bdac2e52c4898882a61c67b9d02711bc209d68f35"},{"number":193,"at":"2026-05-05T09:04:30.2Z","monotonic_ms":270200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[192]}}","hash":"998abd5b17b86567d56f78683e0bf6f692f55ca1a65c46aec387593f443b58bf"},{"number":194,"at":"2026-05-05T09:04:31.6Z","monotonic_ms":271600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[192]}}","hash":"832cedb984736267a9a98f8c3e40f447326bf22a57492641ae79fd21d424080f"},{"number":195,"at":"2026-05-05T09:04:33Z","monotonic_ms":273000,"heard":"{\"words\":\"scaled\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"scaled\",\"challenge\":null}}","hash":"87d510182c5b3de19a273c8c7325dcc2549cad613e44f1636da1318fc37ef431"},{"number":196,"at":"2026-05-05T09:04:34.4Z","monotonic_ms":274400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[195]}}","hash":"35de0b8fa30c0526c701f81ebf0017826a8d15c6594d437f3912ba0cf79e4753"},{"number":197,"at":"2026-05-05T09:04:35.8Z","monotonic_ms":275800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[195]}}","hash":"24cd5e1931c10aab5f602690b43d89389353a42e572917902b50c144584aaf51"},{"number":198,"at":"2026-05-05T09:04:37.2Z","monotonic_ms":277200,"heard":"{\"words\":\"polished\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"polished\",\"challenge\":null}}","hash":"e78d9fe9712914da93d194f9e9191933fef2919acceee608eddd56c7863eceb5"},{"number":199,"at":"2026-05-05T09:04:38.6Z","monotonic_ms":278600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[198]}}","hash":"42e874c853e24e6573d264abbac6bb08967ecaad628bc4b6d146d859797cccf2"},{"number":200,"at":"2026-05-05T09:04:40Z","monotonic_ms":280000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[198]}}","hash":"52a8d50b2d9a84ef19d0bf29c292d303c7ee97e974954e3a05626b444dcee28f"},{"number":201,"at":"2026-05-05T09:04:41.4Z","monotonic_ms":281400,"heard":"{\"words\":\"finish\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"\"visit_finished\"","hash":"943d6f304e33f272ec4c79234f1934cd1bfeccbcb0b0fdf6c1fbba65624e2df8"}]', '2026-11-27 03:42:34.852037+00');
INSERT INTO sulcus.stretch VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 1, 474, '[{"number":1,"at":"2026-11-03T08:30:01.4Z","monotonic_ms":1400,"heard":null,"supersedes":"[]","event":"{\"visit_opened\":{\"patient\":{\"id\":\"DEMO-D1\",\"name\":\"Biscuit\",\"species\":\"dog\",\"breed\":\"mixed breed\",\"sex\":\"female_neutered\",\"born\":\"2017-04\",\"weight\":18400,\"owner\":\"Demo Owner One\",\"invented\":true},\"vet\":\"Vet A (invented)\",\"nurse\":\"Nurse B (invented)\"}}","hash":"dbf1f5e5801414e01d4c6916c938af8092b8afcdc41361cca15bd2c3676ed847"},{"number":2,"at":"2026-11-03T08:30:02.8Z","monotonic_ms":2800,"heard":"{\"words\":\"anaesthesia started\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"anaesthesia_started\",\"challenge\":null}}","hash":"df6a5e5e88b51212202e8ca05745184e0f2bd7699f727db00a41581bceca3885"},{"number":3,"at":"2026-11-03T08:30:04.2Z","monotonic_ms":4200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[2]}}","hash":"00a3a0202acb22e6ee57b61faf65e2cb243b4d256ab27ba4e318a1e62de5dce2"},{"number":4,"at":"2026-11-03T08:30:05.6Z","monotonic_ms":5600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[2]}}","hash":"f3bc4d3d6fe17e7118deeb84592890d5af10d6ae43519de731343e3aa4b16ab8"},{"number":5,"at":"2026-11-03T08:30:07Z","monotonic_ms":7000,"heard":"{\"words\":\"110\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":110}}","hash":"7fd2d380f1361532039e31f813245f36acd76e474dbd188473994d5017032461"},{"number":6,"at":"2026-11-03T08:30:08.4Z","monotonic_ms":8400,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":110},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"62c3551d0ed2ee9329d07f4058104b880baccbbf3a87f04dd12dd8a53c5d587e"},{"number":7,"at":"2026-11-03T08:30:09.8Z","monotonic_ms":9800,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":110},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"81a90b41443693c7f8c8d72153afff2b1bfcf5732ec47430acc20e6784a3c499"},{"number":8,"at":"2026-11-03T08:30:11.2Z","monotonic_ms":11200,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":110},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"0b5db88f12e9c5d8f754176f5a4b43d846699c9661d82e375e82c956cf5f88b7"},{"number":9,"at":"2026-11-03T08:30:12.6Z","monotonic_ms":12600,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":110},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"0444fb4508a6bb2300ac15ccbb3a7d416822f90029a74f53ba7a7e2243f2f1b6"},{"number":10,"at":"2026-11-03T08:30:14Z","monotonic_ms":14000,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":110},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"8af872355ce8372c272990c7f216ff4008e02e2d754cd2ececbd0f59cc9ba502"},{"number":11,"at":"2026-11-03T08:30:15.4Z","monotonic_ms":15400,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":110},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"6f73c28882b7557a8ce389fe2730ce2b0c494c12320d14cb19126f925beb44e3"},{"number":12,"at":"2026-11-03T08:30:16.8Z","monotonic_ms":16800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[6,7,8,9,10,11]}}","hash":"1beb17161b96d82be8da085178f0d79fb358f062d7f583088e614b3853a8161c"},{"number":13,"at":"2026-11-03T08:30:18.2Z","monotonic_ms":18200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[6,7,8,9,10,11]}}","hash":"5e801ddef56674334eabfe0b30456f71528aaa6b71b9ef8845afa9454b99c0ba"},{"number":14,"at":"2026-11-03T08:30:19.6Z","monotonic_ms":19600,"heard":"{\"words\":\"109\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":109}}","hash":"3c498c5f8b68f978e946f134384ea1f70b078af4baa90af18cdbc7d15da49e43"},{"number":15,"at":"2026-11-03T08:30:21Z","monotonic_ms":21000,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"c54139a7c81e12e6773839faadafbe8c3e5995e5cf24337ef169b45ba9f54a8f"},{"number":16,"at":"2026-11-03T08:30:22.4Z","monotonic_ms":22400,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"81693bf073cad9b590d84064de97ce1e1ed3769ee3346c9262f7f9526af91932"},{"number":17,"at":"2026-11-03T08:30:23.8Z","monotonic_ms":23800,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"64216bb0a852b47b40050dbe35e4c6d03cc3807fc6ae0250a952ebe1d12c021d"},{"number":18,"at":"2026-11-03T08:30:25.2Z","monotonic_ms":25200,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"2dcbb15c78bf58c4ec6a739f6e4724844052b5bc7db196536397f459a6faff09"},{"number":19,"at":"2026-11-03T08:30:26.6Z","monotonic_ms":26600,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d28ca14f78ce7e771dc77ee0540366f7c8767146e0ecc1b4475998ae06832729"},{"number":20,"at":"2026-11-03T08:30:28Z","monotonic_ms":28000,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":109},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"90c79aeb90e3687178017628c8d69ff856de77aee21a304c45ced4633a1495ab"},{"number":21,"at":"2026-11-03T08:30:29.4Z","monotonic_ms":29400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[15,16,17,18,19,20]}}","hash":"e091d6efd20364066d86dbf19d14e19c78ea7e5e0fcacf54f91ca5fd1df4fa50"},{"number":22,"at":"2026-11-03T08:30:30.8Z","monotonic_ms":30800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[15,16,17,18,19,20]}}","hash":"cd413d4fd7d97f221070b1de1816c9a189c0f745352733ee417dfc0c6c57464a"},{"number":23,"at":"2026-11-03T08:30:32.2Z","monotonic_ms":32200,"heard":"{\"words\":\"108\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":108}}","hash":"8be92849c1c912c56e0223ab7ed6c6975058380a7523fc49bc9b79cb2e915b7e"},{"number":24,"at":"2026-11-03T08:30:33.6Z","monotonic_ms":33600,"heard":"{\"words\":\"3 3 4 3 2 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"cb92166f4d6f23cf0796b3acf21e56651f783ec066d8ea8d995f0b88786cbf30"},{"number":25,"at":"2026-11-03T08:30:35Z","monotonic_ms":35000,"heard":"{\"words\":\"3 3 4 3 2 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"6155ad3e8c6223e7aaa81fdaa7fdb2b3c1a8a870ab2171934ef3e2a1616ed044"},{"number":26,"at":"2026-11-03T08:30:36.4Z","monotonic_ms":36400,"heard":"{\"words\":\"3 3 4 3 2 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"8e8bf53d892ae5b19e5c262b75a289675b4ec2cd473149f9bd3b24a0cf54cc68"},{"number":27,"at":"2026-11-03T08:30:37.8Z","monotonic_ms":37800,"heard":"{\"words\":\"3 3 4 3 2 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"bbca63a031253fda39f56b38af124f91209afdb9a08f3ab7c93d565cb61881f1"},{"number":28,"at":"2026-11-03T08:30:39.2Z","monotonic_ms":39200,"heard":"{\"words\":\"3 3 4 3 2 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"e67a71fbe361e7826d61c4ddb79668ebec0c1efe68a02da1560374aa4b07eab1"},{"number":29,"at":"2026-11-03T08:30:40.6Z","monotonic_ms":40600,"heard":"{\"words\":\"3 3 4 3 2 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"454346d76015c3cad362419b8f22dfe37042c53d6fbe1e0efeb7d891cb87e160"},{"number":30,"at":"2026-11-03T08:30:42Z","monotonic_ms":42000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[24,25,26,27,28,29]}}","hash":"7c53dfc582f1143330d33d3967bfd6106d3993f88dab8415142e7c0550c6addf"},{"number":31,"at":"2026-11-03T08:30:43.4Z","monotonic_ms":43400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[24,25,26,27,28,29]}}","hash":"2aec73131ac903de184ccf24c006eb72b187e0b241a3013dfa040fcca96745e8"},{"number":32,"at":"2026-11-03T08:30:44.8Z","monotonic_ms":44800,"heard":"{\"words\":\"fracture CCF\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"fracture\",\"place\":\"whole\",\"value\":{\"code\":\"CCF\"}},\"challenge\":null}}","hash":"387e3d767d7826753e97d37681a6e1a26184c02e44a2088bf8f405bf254b43e6"},{"number":33,"at":"2026-11-03T08:30:46.2Z","monotonic_ms":46200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[32]}}","hash":"3cb3e6071034dbe045cbb187370e319e5d1c039ae2c0a84fb55ee02308fc8027"},{"number":34,"at":"2026-11-03T08:30:47.6Z","monotonic_ms":47600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[32]}}","hash":"1483ce667855dc66566c115bfc9fb7dfdc020d3c4d287b810837e355da64fdc5"},{"number":35,"at":"2026-11-03T08:30:49Z","monotonic_ms":49000,"heard":"{\"words\":\"pulp exposed\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":108},\"kind\":\"pulp_exposed\",\"place\":\"whole\",\"value\":\"present\"},\"challenge\":null}}","hash":"4b387a7c1db2596e40882bf8050d4cbebb41a7302c30d8e9caa45931e6b04dfb"},{"number":36,"at":"2026-11-03T08:30:50.4Z","monotonic_ms":50400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[35]}}","hash":"e66bfbe3ada4d242a54d2990fc4bdd815209b586e211640599bade5d056dce4f"},{"number":37,"at":"2026-11-03T08:30:51.8Z","monotonic_ms":51800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[35]}}","hash":"797dbe23d9ee7e13747ed6e71e3d870a07deaeecdfbb3de34bd712911d00f5d2"},{"number":38,"at":"2026-11-03T08:30:53.2Z","monotonic_ms":53200,"heard":"{\"words\":\"107\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":107}}","hash":"8628ddf16029a88026b93498f45790ef1a42f2f4510b1db71bd799c5556e70ca"},{"number":39,"at":"2026-11-03T08:30:54.6Z","monotonic_ms":54600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"64f1dc7c366d2ccfa4253beaf070008744e58948b0b289b904b870abd0a93de7"},{"number":40,"at":"2026-11-03T08:30:56Z","monotonic_ms":56000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"6ce9b5c8cb03a17bb76bd620f81f74beb28d90c7c708443e773be8be2fdf8a2d"},{"number":41,"at":"2026-11-03T08:30:57.4Z","monotonic_ms":57400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"9fa8f1e5e6edc2736ad0ad58f07dc64702bcfa6da0db58208ede89477f610714"},{"number":42,"at":"2026-11-03T08:30:58.8Z","monotonic_ms":58800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"9ba5dba0f5a0cadb56f9419d7424d00d5c0639f53e9a015044d085d281ca0fe1"},{"number":43,"at":"2026-11-03T08:31:00.2Z","monotonic_ms":60200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"a9e65ce9c863e32df6616edfb77652918f0b23424a34fc6314c6746ed77a4790"},{"number":44,"at":"2026-11-03T08:31:01.6Z","monotonic_ms":61600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":107},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"adf94f594b7fa574f57013cfc996c9f0ac1a965385624a2fba08327e8be7d38b"},{"number":45,"at":"2026-11-03T08:31:03Z","monotonic_ms":63000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[39,40,41,42,43,44]}}","hash":"32f9e72e050a91123fd1beba7f07ba3e9e607837566c5afadfa1d9555c9922d1"},{"number":46,"at":"2026-11-03T08:31:04.4Z","monotonic_ms":64400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[39,40,41,42,43,44]}}","hash":"9cf2f7a5c8c0f6276be81b139df1f20ab98df8e632e1e0a0dbebb6108b718941"},{"number":47,"at":"2026-11-03T08:31:05.8Z","monotonic_ms":65800,"heard":"{\"words\":\"106\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":106}}","hash":"4ee4a42d1de9fd33f1d3ff7c28a02a4da34a7b4cbd54b2030e0f98e4abd84092"},{"number":48,"at":"2026-11-03T08:31:07.2Z","monotonic_ms":67200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"0e9599113b91a02566904fdf64da134a9ef2a9082ab3549bff4cade28b164127"},{"number":49,"at":"2026-11-03T08:31:08.6Z","monotonic_ms":68600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"1eb9b4d7a4d3ce5db8191351ce723a28f6996c3a1812403560bb2483ba221780"},{"number":50,"at":"2026-11-03T08:31:10Z","monotonic_ms":70000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"fa9dca8feb849a1f5f798de728dad2b07c9e246399908e470352d6c2092e4717"},{"number":51,"at":"2026-11-03T08:31:11.4Z","monotonic_ms":71400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"7dc06cc104e3b02add28ad5ae23a4fda8b7db640b5f4323916b95fd1fedb49d7"},{"number":52,"at":"2026-11-03T08:31:12.8Z","monotonic_ms":72800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"c225f6beafeab656faeae0b9c96d14f8ff579714a7c39f908345cdd22371df43"},{"number":53,"at":"2026-11-03T08:31:14.2Z","monotonic_ms":74200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":106},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"71873f7d2067a5afdb25a1be23cde39edf45b8f401e4edd8b4328c764ca7b349"},{"number":54,"at":"2026-11-03T08:31:15.6Z","monotonic_ms":75600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[48,49,50,51,52,53]}}","hash":"2f7e035ac2fe3cf6229014a9e7d771449b420322c0612b67eb185e100200bba6"},{"number":55,"at":"2026-11-03T08:31:17Z","monotonic_ms":77000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[48,49,50,51,52,53]}}","hash":"841a51528245b7ac5563fcab44f029e3a0152dd99928cc3abb95d325f123207e"},{"number":56,"at":"2026-11-03T08:31:18.4Z","monotonic_ms":78400,"heard":"{\"words\":\"105\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":105}}","hash":"143c28807c6f8764728022b4e2fa216299a3c0ae51a753634cf7fa50e532f2c7"},{"number":57,"at":"2026-11-03T08:31:19.8Z","monotonic_ms":79800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":105},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"550a07ac1222dbf4274cd99a86ceefcd54e82f0333f9187634da873e31ca7ed8"},{"number":58,"at":"2026-11-03T08:31:21.2Z","monotonic_ms":81200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":105},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"33bbf4573474a4c437430e18b7210802cc06fb85f63d2a779770e3d121037229"},{"number":59,"at":"2026-11-03T08:31:22.6Z","monotonic_ms":82600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":105},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"444da35afcb0ca0203852e50888cd712db29a76b0d14cdcf6b9f47916812ab31"},{"number":60,"at":"2026-11-03T08:31:24Z","monotonic_ms":84000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":105},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"ed1390d927509a68ee4b268932e4db348ff6704d5c871d55b36b73310a698954"},{"number":61,"at":"2026-11-03T08:31:25.4Z","monotonic_ms":85400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":105},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"03e15bd83d4f372eeb4cbda51a546ce9b838a7e92fd209b6df74092f6e1d4a2c"},{"number":62,"at":"2026-11-03T08:31:26.8Z","monotonic_ms":86800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":105},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"add19e923a4ea4282fead18740a0af2886206bee55b3f0676f00856bd035e00c"},{"number":63,"at":"2026-11-03T08:31:28.2Z","monotonic_ms":88200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[57,58,59,60,61,62]}}","hash":"9402dbc39b75559aa938352e17739e65f2bb21a450f0608116bc7692b3beb12f"},{"number":64,"at":"2026-11-03T08:31:29.6Z","monotonic_ms":89600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[57,58,59,60,61,62]}}","hash":"219f9df3241ebc0ae59c3ca737df342c14a386c003f100b4802ecd5a2b031fad"},{"number":65,"at":"2026-11-03T08:31:31Z","monotonic_ms":91000,"heard":"{\"words\":\"104\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":104}}","hash":"de2bb39f7e57090dd8cfa4f3a5724614b43a121471ae39c1fbfd017fb8ee601d"},{"number":66,"at":"2026-11-03T08:31:32.4Z","monotonic_ms":92400,"heard":"{\"words\":\"3 4 5 3 7 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"311df3c81843c7cc3b358794e85a339dfbb7b4fcd8d1b8badea6881b7eacbc06"},{"number":67,"at":"2026-11-03T08:31:33.8Z","monotonic_ms":93800,"heard":"{\"words\":\"3 4 5 3 7 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"c79cff9df3930d4d85de5fb69055a441382e50b0b0da1bc6b622bec7cdaebad7"},{"number":68,"at":"2026-11-03T08:31:35.2Z","monotonic_ms":95200,"heard":"{\"words\":\"3 4 5 3 7 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":5}},\"challenge\":null}}","hash":"5342d1fbc79dfed1cc0b55cb76cc58963f76df2f301aaed2b482e378b5e08f6a"},{"number":69,"at":"2026-11-03T08:31:36.6Z","monotonic_ms":96600,"heard":"{\"words\":\"3 4 5 3 7 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"8f235b5fdb1b885592ded7b09aeb90b47e2cb421efdfcab44670d4a4d34cefc9"},{"number":70,"at":"2026-11-03T08:31:38Z","monotonic_ms":98000,"heard":"{\"words\":\"3 4 5 3 7 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":7}},\"challenge\":null}}","hash":"0dad44915c2f7baebe63fdf26c4fe951012d84a73f983c6b239f580931364a53"},{"number":71,"at":"2026-11-03T08:31:39.4Z","monotonic_ms":99400,"heard":"{\"words\":\"3 4 5 3 7 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"3059a947b39e9a1596e5a9906c0df38f08872b9179e9d18d93612b061751d511"},{"number":72,"at":"2026-11-03T08:31:40.8Z","monotonic_ms":100800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[66,67,68,69,70,71]}}","hash":"0f0ec901001f6bc49a28ae081754bb7dc243c4faac0a7d26ec1614bc3a7c073f"},{"number":73,"at":"2026-11-03T08:31:42.2Z","monotonic_ms":102200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[66,67,68,69,70,71]}}","hash":"401f17d8c612c572659924f605a7efe752a882f94fb8dbc29bfd28bc496f5e9d"},{"number":74,"at":"2026-11-03T08:31:43.6Z","monotonic_ms":103600,"heard":"{\"words\":\"recession 2 mm buccal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"recession\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"b4fa40089dc5c443197544757b3f9151262a1c2636b683d52908edd55c208a3f"},{"number":75,"at":"2026-11-03T08:31:45Z","monotonic_ms":105000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[74]}}","hash":"240a21fe527f821610f0882082a1e07bd8b66838f5bee2608c2a745865494c89"},{"number":76,"at":"2026-11-03T08:31:46.4Z","monotonic_ms":106400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[74]}}","hash":"37e3f2c91289e11d486cd10c0b5ef8dcb05fbb5a33c4a89cbf2596e21303b5b4"},{"number":77,"at":"2026-11-03T08:31:47.8Z","monotonic_ms":107800,"heard":"{\"words\":\"bleeding palatal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":104},\"kind\":\"bleeding\",\"place\":{\"site\":\"lingual\"},\"value\":\"present\"},\"challenge\":null}}","hash":"039e15036a2abf44ac7a650f248e88aed7b81e85b025d6fe6d93ee5be604e943"},{"number":78,"at":"2026-11-03T08:31:49.2Z","monotonic_ms":109200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[77]}}","hash":"6060a12c19d9c0984bd055db25e0c321abc419797512028e570ea23f83ab29e2"},{"number":79,"at":"2026-11-03T08:31:50.6Z","monotonic_ms":110600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[77]}}","hash":"4b1cd69f1e475dab725ec538db8780c03367559feb2adc62c3b1bd9aef6ba725"},{"number":80,"at":"2026-11-03T08:31:52Z","monotonic_ms":112000,"heard":"{\"words\":\"103\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":103}}","hash":"c9ef8a09cfe07370f2ed19d29049510e5787c874cf9c81030032ecbbc8069e47"},{"number":81,"at":"2026-11-03T08:31:53.4Z","monotonic_ms":113400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"63c460f5c52b93487c42cf220d13877e36374e6825d8c7c75dc05884cfa56799"},{"number":82,"at":"2026-11-03T08:31:54.8Z","monotonic_ms":114800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2157ea18be7f9074e51f18e970573c8493549e39f0caca9cc406031b48dd1e64"},{"number":83,"at":"2026-11-03T08:31:56.2Z","monotonic_ms":116200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"c03a02f28dfca29c6c758bca6460c8affc040153f924f618c7202a29ef35c683"},{"number":84,"at":"2026-11-03T08:31:57.6Z","monotonic_ms":117600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"8ed67eb548861d90e0f3be02387996e961fdc827af4dad88e799f860bdecbbcd"},{"number":85,"at":"2026-11-03T08:31:59Z","monotonic_ms":119000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ea616e19c70696a5f505b6e90f21912006a6bd1ede1aac2a89395be551f1bb5a"},{"number":86,"at":"2026-11-03T08:32:00.4Z","monotonic_ms":120400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":103},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"f92b85370ec7fdc433df1282664db47870ddd9c05a7f259857fea2522ce1ca8d"},{"number":87,"at":"2026-11-03T08:32:01.8Z","monotonic_ms":121800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[81,82,83,84,85,86]}}","hash":"38156534126320ec6aa3ddf6037749af2b3714dbac7dc0fd9759472e01e2a83b"},{"number":88,"at":"2026-11-03T08:32:03.2Z","monotonic_ms":123200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[81,82,83,84,85,86]}}","hash":"72ac9042e801996d89508470074b42817f8775b4eefb7f3649dd320b8ac17a13"},{"number":89,"at":"2026-11-03T08:32:04.6Z","monotonic_ms":124600,"heard":"{\"words\":\"102\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":102}}","hash":"738a1bd81df118aac1903703fc87e6163c5da84ccd43e0cb97d2c3e0eb22edd8"},{"number":90,"at":"2026-11-03T08:32:06Z","monotonic_ms":126000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2c3db21e4bdf10a1b7e97aed729aa5ea0e8c3d78d31a0a860b2449c5c17f19bd"},{"number":91,"at":"2026-11-03T08:32:07.4Z","monotonic_ms":127400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"fbbe8033a2cc3716b351df05a53c18cf19639c16d9fff7d73f4e2b952f7b7ad8"},{"number":92,"at":"2026-11-03T08:32:08.8Z","monotonic_ms":128800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"544bc1c6d243d3433e05631671a6ae20fcf85c57fb828d36297390f60766ac4c"},{"number":93,"at":"2026-11-03T08:32:10.2Z","monotonic_ms":130200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e9993dc94b17022a7edbe08cdae046e85c704400c7516cbb7478bb36582b76dd"},{"number":94,"at":"2026-11-03T08:32:11.6Z","monotonic_ms":131600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"a33e87b237853ccc4e46b2233d22843305d39edb885d8659eff0beb8631363f8"},{"number":95,"at":"2026-11-03T08:32:13Z","monotonic_ms":133000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":102},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"828862feab10c6c2348562c3e7b890ea57f081f939de3c8655ab6ec120fad3c0"},{"number":96,"at":"2026-11-03T08:32:14.4Z","monotonic_ms":134400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[90,91,92,93,94,95]}}","hash":"61615c9c5c7c9a9aaecc1e22bd14f9726cb78eab06058b295df83750cdc925ea"},{"number":97,"at":"2026-11-03T08:32:15.8Z","monotonic_ms":135800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[90,91,92,93,94,95]}}","hash":"a31805b165a88d4aac866b4a0cedc922ef38c06c436c62d9b728d3a1a3ab04a4"},{"number":98,"at":"2026-11-03T08:32:17.2Z","monotonic_ms":137200,"heard":"{\"words\":\"101\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":101}}","hash":"67b6323bb3439e747b4746547a91fd06a34c96fa960d86b73b6a5203b887369d"},{"number":99,"at":"2026-11-03T08:32:18.6Z","monotonic_ms":138600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"91801d6f596b3b5571ae0ea996e9fab9d1425d5df1ff45df6db22b25ba3df87d"},{"number":100,"at":"2026-11-03T08:32:20Z","monotonic_ms":140000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b563ba72ffe968f0e296e0873011fd117dd7a81e7cda21bad606e16cc7cd35ad"},{"number":101,"at":"2026-11-03T08:32:21.4Z","monotonic_ms":141400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"3526e5b967ad08bc20e44419069bddb625c8f4e3757bb40a858d6dc596cb3122"},{"number":102,"at":"2026-11-03T08:32:22.8Z","monotonic_ms":142800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"eebc5bd2c73e6fbdad7fd1598ce31501d8bc4dc127ea1e6a8a6e5cccf1c2904c"},{"number":103,"at":"2026-11-03T08:32:24.2Z","monotonic_ms":144200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"9429bbbbbdbd54ba88b602a2c79c34917cdf5ac94028b1b704224d0a93d63cba"},{"number":104,"at":"2026-11-03T08:32:25.6Z","monotonic_ms":145600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"a924ee66a3140478e04b8fa634982e4277502c05c46c9aa7dde07ecab5441e8c"},{"number":105,"at":"2026-11-03T08:32:27Z","monotonic_ms":147000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[99,100,101,102,103,104]}}","hash":"93f939815beb11cba64ed1d39bc33df48f4ef0e6bbfcd30f5b376ac4d966d922"},{"number":106,"at":"2026-11-03T08:32:28.4Z","monotonic_ms":148400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[99,100,101,102,103,104]}}","hash":"ba92b37bb606e4170449a456912e48b0e4efd57c2f60f6c73c623889c99e935e"},{"number":107,"at":"2026-11-03T08:32:29.8Z","monotonic_ms":149800,"heard":"{\"words\":\"201\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":201}}","hash":"a4aa94ed5d4ab57982433dc5abd6ec0606c3e08ff420714e8c6048dc7a3f80a8"},{"number":108,"at":"2026-11-03T08:32:31.2Z","monotonic_ms":151200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"5ec0d90a00aafbc5d8857f183a31d9ef63c72762e90d6a41bc72e7171a0c5262"},{"number":109,"at":"2026-11-03T08:32:32.6Z","monotonic_ms":152600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"c8805f8fb1247b174f631c1ede69a51e4e51d4b4d89cd71ae39e5a0c7e02ee13"},{"number":110,"at":"2026-11-03T08:32:34Z","monotonic_ms":154000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"9b8a2a385d926e56af39fd0244a754c5a41c3bb7f3821d108715a1490744d0a9"},{"number":111,"at":"2026-11-03T08:32:35.4Z","monotonic_ms":155400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ca919a03b46be544814be8b0b52fa74b2da9f424d82abbbdcba4824fcf735852"},{"number":112,"at":"2026-11-03T08:32:36.8Z","monotonic_ms":156800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"d7e54c92f0d62a82c97f13ed11cbe62cd8e465177ce736e27702e15cefa03df6"},{"number":113,"at":"2026-11-03T08:32:38.2Z","monotonic_ms":158200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":201},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"5346426756e399e4940e15223692aeca2d47be0ad410f135097557a37c7045dd"},{"number":114,"at":"2026-11-03T08:32:39.6Z","monotonic_ms":159600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[108,109,110,111,112,113]}}","hash":"f92ca638b20a37751d43201d19e2bae434c95cb9517dbfc547497324de74acd7"},{"number":115,"at":"2026-11-03T08:32:41Z","monotonic_ms":161000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[108,109,110,111,112,113]}}","hash":"fd5739051187a39414f9603dfa32b642a8a53aeb5f4fc6beeb53d990764333ad"},{"number":116,"at":"2026-11-03T08:32:42.4Z","monotonic_ms":162400,"heard":"{\"words\":\"202\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":202}}","hash":"bee93c9ac80c32e8d40f819d799e8ce90b1089122762ae0cdadc13118d6c16ac"},{"number":117,"at":"2026-11-03T08:32:43.8Z","monotonic_ms":163800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"6fda550c09c0ccaa83a0d19b8cd5331d9ccd9b6c04a4cde7fd1ee589e4e9a16b"},{"number":118,"at":"2026-11-03T08:32:45.2Z","monotonic_ms":165200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"c8b9c7e36947ca2ec2f8d7b6b77561ac5ee46cf6f3abaf2df6301a7933109893"},{"number":119,"at":"2026-11-03T08:32:46.6Z","monotonic_ms":166600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"df16a14aa16c30117d0b1acbf4bb5dd182bfe18931b1f5b2368f7e77fad2a3f4"},{"number":120,"at":"2026-11-03T08:32:48Z","monotonic_ms":168000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"ae2d5d6a9bb62c02671cb3efc0063eaf47106bb586452a36a580b1c923a45abc"},{"number":121,"at":"2026-11-03T08:32:49.4Z","monotonic_ms":169400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e3b0c999589cb4bad2a889479c51229fa1cd09aa43880d1090a19582de6ec2fb"},{"number":122,"at":"2026-11-03T08:32:50.8Z","monotonic_ms":170800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":202},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"9f320eb803253d9d9807b91175def69b7f0b7435bb8dea9ceb0c3b7635625bde"},{"number":123,"at":"2026-11-03T08:32:52.2Z","monotonic_ms":172200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[117,118,119,120,121,122]}}","hash":"c51391018310a1207b7ed2272b03afb362b1561a57b891f06370c30487d7235d"},{"number":124,"at":"2026-11-03T08:32:53.6Z","monotonic_ms":173600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[117,118,119,120,121,122]}}","hash":"e45cc2f73b615ce5f2a7f952f662053672a51ce2dcfa41b560a72494266bc96f"},{"number":125,"at":"2026-11-03T08:32:55Z","monotonic_ms":175000,"heard":"{\"words\":\"203\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":203}}","hash":"f59f05a3996a6156e6eb5a107e3e735c773f22e338c2de164d5d4b81dae73def"},{"number":126,"at":"2026-11-03T08:32:56.4Z","monotonic_ms":176400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"a5a8c91393856b490591cd928cc6ee6cc474016814e673388dceb2d208cc12cf"},{"number":127,"at":"2026-11-03T08:32:57.8Z","monotonic_ms":177800,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"546ed1d93fdc0562ad27c306bbef4a52a8e9e4ba435ad67b1c92406a6a1adc09"},{"number":128,"at":"2026-11-03T08:32:59.2Z","monotonic_ms":179200,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"625e2ad99836c6ecfb285c5894a879226aab94b870efe2f1545c798547123fc6"},{"number":129,"at":"2026-11-03T08:33:00.6Z","monotonic_ms":180600,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b35f4a863ad208e76df5001f8f0a8fe70196770ed431717faea235d2c4077823"},{"number":130,"at":"2026-11-03T08:33:02Z","monotonic_ms":182000,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"df0ef7e296fdd728a8433f7642801d65bd7e706dcdb596351e22c91dd0313299"},{"number":131,"at":"2026-11-03T08:33:03.4Z","monotonic_ms":183400,"heard":"{\"words\":\"1 1 2 1 1 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":203},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"7d5b950dd7776a1b04b4373975cacad3e2bcfa42f85992dc332682b792f16990"},{"number":132,"at":"2026-11-03T08:33:04.8Z","monotonic_ms":184800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[126,127,128,129,130,131]}}","hash":"64de60795030aa1c96b9d8cff807cb285f6c789625d1fb7084370de4212c5a8a"},{"number":133,"at":"2026-11-03T08:33:06.2Z","monotonic_ms":186200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[126,127,128,129,130,131]}}","hash":"f93b877791000e3f575596b824083f81b30b59fdb1bb591952c5cb8769222151"},{"number":134,"at":"2026-11-03T08:33:07.6Z","monotonic_ms":187600,"heard":"{\"words\":\"mobility 1\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":101},\"kind\":\"mobility\",\"place\":\"whole\",\"value\":{\"grade\":1}},\"challenge\":null}}","hash":"9aa830156e98117fc389a207c370ed35fc2db3ebc55e7ed688c276949bfe8983"},{"number":135,"at":"2026-11-03T08:33:09Z","monotonic_ms":189000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[134]}}","hash":"dc202853173a5d53a4e583d9e520c400aad112be61141e43bad853857d50c07d"},{"number":136,"at":"2026-11-03T08:33:10.4Z","monotonic_ms":190400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[134]}}","hash":"b1a6b35b0b053fc8d0d6797541905644d84c533457504f8aa63785a1a76329ef"},{"number":137,"at":"2026-11-03T08:33:11.8Z","monotonic_ms":191800,"heard":"{\"words\":\"204\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":204}}","hash":"92ae64ea59a4c48a298fc24af6f529714237ceef579c4963cdf46b3fd74b9c54"},{"number":138,"at":"2026-11-03T08:33:13.2Z","monotonic_ms":193200,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"255246dc037a6ac9eb9b9bdc65d884de047f910debd001bd7af399ae99eb9a8e"},{"number":139,"at":"2026-11-03T08:33:14.6Z","monotonic_ms":194600,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"5025efdffc85c721b67827560f52dd125625b2fb41274ccde21be49e12cfa62e"},{"number":140,"at":"2026-11-03T08:33:16Z","monotonic_ms":196000,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"d89ca920942d9490aaafa37357aaa01f7038567a3c04acb29cbe5d2510cd293f"},{"number":141,"at":"2026-11-03T08:33:17.4Z","monotonic_ms":197400,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"73abab19427493edae4e8681165b0f3a3c98cfa8b5108866b11f45188ccc8d38"},{"number":142,"at":"2026-11-03T08:33:18.8Z","monotonic_ms":198800,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"dc83d7863b0e291d5469e85c033311955f3e7da148a54445ab1db0fa144384e8"},{"number":143,"at":"2026-11-03T08:33:20.2Z","monotonic_ms":200200,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":204},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"dc85bfb3063e7147817309c31538ef4f5ef88347aaf5057ce3f63e3c9d540646"},{"number":144,"at":"2026-11-03T08:33:21.6Z","monotonic_ms":201600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[138,139,140,141,142,143]}}","hash":"799b868cff9cafc9f9cb1b0ff13058be7a320fc5a36a83a00bff70f67764aaa3"},{"number":145,"at":"2026-11-03T08:33:23Z","monotonic_ms":203000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[138,139,140,141,142,143]}}","hash":"83c481252541cc3e7c62480307d2b5b3415ace9badec471509268c921ca17202"},{"number":146,"at":"2026-11-03T08:33:24.4Z","monotonic_ms":204400,"heard":"{\"words\":\"missing\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":205},\"kind\":\"absent\",\"place\":\"whole\",\"value\":\"present\"},\"challenge\":null}}","hash":"a0cbbd617539de1d06462c08b86f3111360d622bbbbd94839dcba3ba6ad30164"},{"number":147,"at":"2026-11-03T08:33:25.8Z","monotonic_ms":205800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[146]}}","hash":"9ccf4159977ca0aef62ff3ffaaca5be86292f9da48bbbae354c40d0a64976d09"},{"number":148,"at":"2026-11-03T08:33:27.2Z","monotonic_ms":207200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[146]}}","hash":"920a0449f867182daa50a9918472ba1a3a827ec5e95d8f2cc605594a913f4589"},{"number":149,"at":"2026-11-03T08:33:28.6Z","monotonic_ms":208600,"heard":"{\"words\":\"206\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":206}}","hash":"7eca463b5e11aff3034e155c6b5c7957ed5f3c38197e8ac1f553fe19e1e5f77a"},{"number":150,"at":"2026-11-03T08:33:30Z","monotonic_ms":210000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d0cebf752b8f9fb66256094f76b5e61891ead05ee14cb968ff79fab35cc8da2c"},{"number":151,"at":"2026-11-03T08:33:31.4Z","monotonic_ms":211400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"1b6c3d438a83c9bcaf4e5c6f72efadeba74da02444044e64e01a8c64820eccfb"},{"number":152,"at":"2026-11-03T08:33:32.8Z","monotonic_ms":212800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"7a2b1d573eaca488a9e90b0221a2f452e130d8ed48f29c37f7b7b07cf7a427bd"},{"number":153,"at":"2026-11-03T08:33:34.2Z","monotonic_ms":214200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"c3bb5307fd3b6623247f2641c034f2568f74c46151f7d7cd8dc66f1e79ac9d6b"},{"number":154,"at":"2026-11-03T08:33:35.6Z","monotonic_ms":215600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"558edc0d687327f4b5c074819e48fdcfe5ee0c60ba9a06bc92739605e411dede"},{"number":155,"at":"2026-11-03T08:33:37Z","monotonic_ms":217000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":206},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"0320cd2c4ee3013b0cbfcc5c7e4c7d32e4ee1a53d6f6e8dc3080b0ca56c78d8e"},{"number":156,"at":"2026-11-03T08:33:38.4Z","monotonic_ms":218400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[150,151,152,153,154,155]}}","hash":"e6ea5929635b2eb11070b28a4d7ee431d9030740ed5bd7c7750642fa2cf04883"},{"number":157,"at":"2026-11-03T08:33:39.8Z","monotonic_ms":219800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[150,151,152,153,154,155]}}","hash":"9c74eb4d6c1d7a553a3d67d9538c331614720ed67f5b5b80bd06c6860569a279"},{"number":158,"at":"2026-11-03T08:33:41.2Z","monotonic_ms":221200,"heard":"{\"words\":\"207\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":207}}","hash":"2f99120c545bff41d98826b881cc9beddfdb8617612343392f916cd65af8625c"},{"number":159,"at":"2026-11-03T08:33:42.6Z","monotonic_ms":222600,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"504337dfd2df9a2f17276a65d06406f60da5d9766ff334a43bb654a2ac0cfcdc"},{"number":160,"at":"2026-11-03T08:33:44Z","monotonic_ms":224000,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"1c78b3d0c282eba1d03c510863e57d11da3307a5ac07c705fe484dbaa63aedd4"},{"number":161,"at":"2026-11-03T08:33:45.4Z","monotonic_ms":225400,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"98cd1f49f7c14f09e5e7102fe6d727c70077b5a806d6da286edf36b8036c2782"},{"number":162,"at":"2026-11-03T08:33:46.8Z","monotonic_ms":226800,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"14d4a0dea6e9544e5399f360ec4b9b4c4d2bc64124426b2859c411b293d12dd9"},{"number":163,"at":"2026-11-03T08:33:48.2Z","monotonic_ms":228200,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"abbbc783242f51341641bacdbadf2b3c29faa84cb4ca000c19274e70a3362a22"},{"number":164,"at":"2026-11-03T08:33:49.6Z","monotonic_ms":229600,"heard":"{\"words\":\"2 2 3 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":207},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"321137f6722f62654ee0d6136adc107376fecb0f1f8798b68a94969450e13568"},{"number":165,"at":"2026-11-03T08:33:51Z","monotonic_ms":231000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[159,160,161,162,163,164]}}","hash":"0c8eb946d96211d2c81a685ad55dc8332b6217466e0efc006310378d6f3cdd4f"},{"number":166,"at":"2026-11-03T08:33:52.4Z","monotonic_ms":232400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[159,160,161,162,163,164]}}","hash":"fdc9968e4e9575093f032f638d524307d530431b73bcdd76344e290d8cfa2757"},{"number":167,"at":"2026-11-03T08:33:53.8Z","monotonic_ms":233800,"heard":"{\"words\":\"208\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":208}}","hash":"d3c303a5fdfd080d3083c3b01fe4307e54273ced4b838e6d379f0f79ca67eb12"},{"number":168,"at":"2026-11-03T08:33:55.2Z","monotonic_ms":235200,"heard":"{\"words\":\"2 3 7 2 3 6\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"2d40eebaaf74316be18ec759d4908fd9b278b1a02d08bc2904ba51a6f8b0fa3a"},{"number":169,"at":"2026-11-03T08:33:56.6Z","monotonic_ms":236600,"heard":"{\"words\":\"2 3 7 2 3 6\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"b23460882ecf2a8e1964c495295678a68dd27eaa2f1e2dbf7e3d800e7720de2c"},{"number":170,"at":"2026-11-03T08:33:58Z","monotonic_ms":238000,"heard":"{\"words\":\"2 3 7 2 3 6\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":7}},\"challenge\":null}}","hash":"594e0d919c47955a3a9a45610d8b38c085b7f06b1d3d5f360d5b8988987386aa"},{"number":171,"at":"2026-11-03T08:33:59.4Z","monotonic_ms":239400,"heard":"{\"words\":\"2 3 7 2 3 6\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"467d9e57fab51b821c674df6403346cb20db450929ba23c87683ae4e81fa32bf"},{"number":172,"at":"2026-11-03T08:34:00.8Z","monotonic_ms":240800,"heard":"{\"words\":\"2 3 7 2 3 6\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"c188fdc2ab424dd6b8f3ea7b59ab411018a53765424e93a94660bf1be9b49aaa"},{"number":173,"at":"2026-11-03T08:34:02.2Z","monotonic_ms":242200,"heard":"{\"words\":\"2 3 7 2 3 6\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":6}},\"challenge\":null}}","hash":"3d622391458d6a23da09716cdb30cc9af1a37a108323c922efb49f63e5f07ab4"},{"number":174,"at":"2026-11-03T08:34:03.6Z","monotonic_ms":243600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[168,169,170,171,172,173]}}","hash":"2dc093e6909c63dedb0b92d644c26a968a5436e7485b1463dd809e74ac1b38ae"},{"number":175,"at":"2026-11-03T08:34:05Z","monotonic_ms":245000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[168,169,170,171,172,173]}}","hash":"a1a0290743a66c96809727b7bb457d7ab3118c9e8f5ac9af694d25c74ed65429"},{"number":176,"at":"2026-11-03T08:34:06.4Z","monotonic_ms":246400,"heard":"{\"words\":\"furcation 2 buccal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"furcation\",\"place\":{\"entrance\":\"buccal\"},\"value\":{\"grade\":2}},\"challenge\":null}}","hash":"bfb9d8d05fcf7a6b42785b116ebbbcbb741decfba6e0f238c57ac1d0dacaa01b"},{"number":177,"at":"2026-11-03T08:34:07.8Z","monotonic_ms":247800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[176]}}","hash":"8a5c5ab446b7aaf7d0bc5adf8eca7b95431fbc844fbf38f25cbb30c703f98908"},{"number":178,"at":"2026-11-03T08:34:09.2Z","monotonic_ms":249200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[176]}}","hash":"79053b711204c50544e621d563952a341ba752780ed0f43426f2f13f1df90215"},{"number":179,"at":"2026-11-03T08:34:10.6Z","monotonic_ms":250600,"heard":"{\"words\":\"bleeding distobuccal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"bleeding\",\"place\":{\"site\":\"disto_buccal\"},\"value\":\"present\"},\"challenge\":null}}","hash":"b480df6a3eb722a202b83caf326b1b1c04f8faf8774bc30889a6baa60d37a7b2"},{"number":180,"at":"2026-11-03T08:34:12Z","monotonic_ms":252000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[179]}}","hash":"46f828a42f0940f97ef4f09b203bbcd761273ac07351bfc17f5f8b8c68924da3"},{"number":181,"at":"2026-11-03T08:34:13.4Z","monotonic_ms":253400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[179]}}","hash":"fff0843cd6024e7c6944f11fb5a0c5758a675b1ec9f69fdfba7aba7a209b58f3"},{"number":182,"at":"2026-11-03T08:34:14.8Z","monotonic_ms":254800,"heard":"{\"words\":\"calculus 3\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":208},\"kind\":\"calculus\",\"place\":\"whole\",\"value\":{\"grade\":3}},\"challenge\":null}}","hash":"f7e63bf637224891897b12aa476b181284f110dea74b388c10c3da30e09c2a7e"},{"number":183,"at":"2026-11-03T08:34:16.2Z","monotonic_ms":256200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[182]}}","hash":"1df10aeaadd61863e8821e02de469b194702a342d57739f028aede37cd2b336e"},{"number":184,"at":"2026-11-03T08:34:17.6Z","monotonic_ms":257600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[182]}}","hash":"d5c2e74d8bdd04abb0aee96416dffa2b8fcd2beab886461743a7e7ac19ee596a"},{"number":185,"at":"2026-11-03T08:34:19Z","monotonic_ms":259000,"heard":"{\"words\":\"depth 9 mm mesiobuccal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":9}},\"challenge\":null}}","hash":"17017a928488a76e4f437818e521a136a39b4ef0ec0a9b2fb006d4362a8a66f2"},{"number":186,"at":"2026-11-03T08:34:20.4Z","monotonic_ms":260400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[185]}}","hash":"98529d57fcd73705bf8174ec0d7ea1231e95372d0aa976b079ebf95109e80069"},{"number":187,"at":"2026-11-03T08:34:21.8Z","monotonic_ms":261800,"heard":"{\"words\":\"no five\",\"confidence\":0.93,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"retracted\":{\"entries\":[185],\"why\":\"corrected\"}}","hash":"d5364b2ffa8b56431ace91edb48480ce28afabd5f3cf21c86d3b05a5d65e1191"},{"number":188,"at":"2026-11-03T08:34:23.2Z","monotonic_ms":263200,"heard":"{\"words\":\"209\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":209}}","hash":"339a72c756ed28b951f463ce1dc3113047508a5f4f2a2b082f59333c9bb1a4e9"},{"number":189,"at":"2026-11-03T08:34:24.6Z","monotonic_ms":264600,"heard":"{\"words\":\"5 3 3 4 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":5}},\"challenge\":null}}","hash":"2bfc13f0543a16b32fb1ee04c9bb192ec854c3c49d269dce6c9e35633967aec9"},{"number":190,"at":"2026-11-03T08:34:26Z","monotonic_ms":266000,"heard":"{\"words\":\"5 3 3 4 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"1fb9818a873189a01e83884e187b76afa24da4df94c5c8edd849088354f4214c"},{"number":191,"at":"2026-11-03T08:34:27.4Z","monotonic_ms":267400,"heard":"{\"words\":\"5 3 3 4 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"a0968d05edc9a4b2bbdea491fbd178aab4e04b447b56bbcb0c1590b30e7fc5ab"},{"number":192,"at":"2026-11-03T08:34:28.8Z","monotonic_ms":268800,"heard":"{\"words\":\"5 3 3 4 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"643622ad162685c81c5effd4aec87cacb262a33156d218a5f2cd7f63d8949f8e"},{"number":193,"at":"2026-11-03T08:34:30.2Z","monotonic_ms":270200,"heard":"{\"words\":\"5 3 3 4 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"af3006974ca90ab096f583514b0afac2268ee59d0f8807705b966a0c41737a51"},{"number":194,"at":"2026-11-03T08:34:31.6Z","monotonic_ms":271600,"heard":"{\"words\":\"5 3 3 4 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":209},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"6ec551dd98d66388af08b9cf529b00d5f3968d07e08f3112657c6b73aec75789"},{"number":195,"at":"2026-11-03T08:34:33Z","monotonic_ms":273000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[189,190,191,192,193,194]}}","hash":"f09c987cfee65b4bbf445d8562ac071eecc4032515a64c7cf3218ec7bd1b7e82"},{"number":196,"at":"2026-11-03T08:34:34.4Z","monotonic_ms":274400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[189,190,191,192,193,194]}}","hash":"8ff79db6c4540bbdb720c23749fd5b2b55c0e742ffef091594e139b5a71dc61f"},{"number":197,"at":"2026-11-03T08:34:35.8Z","monotonic_ms":275800,"heard":"{\"words\":\"210\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":210}}","hash":"08cde71d093d6dd590bd3d2f2e5eb6f59b265f7f8c50b03061fc5f715cb49503"},{"number":198,"at":"2026-11-03T08:34:37.2Z","monotonic_ms":277200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":210},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"257cf151965e108446652aa7c3c2369f35291ceb4e61cd2ef5104fdff00bb191"},{"number":199,"at":"2026-11-03T08:34:38.6Z","monotonic_ms":278600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":210},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"db974601e56fbd5d17943636f28581539c1cdbd3974e9ac3a5449151a31ab5bd"},{"number":200,"at":"2026-11-03T08:34:40Z","monotonic_ms":280000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":210},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"dc0ab4d55f57b1540a854c961ba1d4a2fdffcafa26de6a1c17877119b1e91359"},{"number":201,"at":"2026-11-03T08:34:41.4Z","monotonic_ms":281400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":210},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"3b7021785d7ad468b6945ceac296ae8f3c0a5a4f6cf78a1c90bf6958f33cea73"},{"number":202,"at":"2026-11-03T08:34:42.8Z","monotonic_ms":282800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":210},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d4c6b6ff4514042d97c8dbdc379c90473b868b33f8aff0057557295d65a498d4"},{"number":203,"at":"2026-11-03T08:34:44.2Z","monotonic_ms":284200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":210},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"97b9aa5ff2e8bafb52ec890ff699af304cda1c72515348dc5a307db695283de1"},{"number":204,"at":"2026-11-03T08:34:45.6Z","monotonic_ms":285600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[198,199,200,201,202,203]}}","hash":"2fff348a392b9f3587f37d710e85f4605cac4f2f43885f913e7984d6e72f1ff8"},{"number":205,"at":"2026-11-03T08:34:47Z","monotonic_ms":287000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[198,199,200,201,202,203]}}","hash":"459627bc9a47a6c674318e5b4cb8aea9c28e2a5e74d86f1ac993d4e28e9f2e30"},{"number":206,"at":"2026-11-03T08:34:48.4Z","monotonic_ms":288400,"heard":"{\"words\":\"311\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":311}}","hash":"6cb1501c7844296c0da2ee1de47a77d56ed3cc8004ec280a3e00c3540b9e28d4"},{"number":207,"at":"2026-11-03T08:34:49.8Z","monotonic_ms":289800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":311},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"7290ab72f87729307bed0cd62a85549cf9f37804bb0e4f68a1f6da71ef955f8f"},{"number":208,"at":"2026-11-03T08:34:51.2Z","monotonic_ms":291200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":311},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"422b0a5ebf123a6e1588ac1a26614e1450883015f3a5778fbdf6472102e68aa2"},{"number":209,"at":"2026-11-03T08:34:52.6Z","monotonic_ms":292600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":311},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"fda90cfa50f43cdb8c23e74133147a7348abb5c27fa7f9f8fabfa2edb24b84b7"},{"number":210,"at":"2026-11-03T08:34:54Z","monotonic_ms":294000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":311},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"5f0eaf34757a813f62380bf8c21ba31f0c5e70a5c68b6dc1db558ea64c883b05"},{"number":211,"at":"2026-11-03T08:34:55.4Z","monotonic_ms":295400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":311},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d77a8f833075b869bdf104f5591bdf440c3c89ba41b4f801c5695c715d67ffe6"},{"number":212,"at":"2026-11-03T08:34:56.8Z","monotonic_ms":296800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":311},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"622a6809200aabbd7bbc5a731a7e9a8eb75bf547738fd2557d49d222ddf82ef0"},{"number":213,"at":"2026-11-03T08:34:58.2Z","monotonic_ms":298200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[207,208,209,210,211,212]}}","hash":"a5a117d75a434f6b2ca690b3d80dc13f2b5a6b17656912f85f8f3a560ce3863e"},{"number":214,"at":"2026-11-03T08:34:59.6Z","monotonic_ms":299600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[207,208,209,210,211,212]}}","hash":"854c3400414072a209a54d0b3ac6a7bc3fc96ea4d132b36652c852546fab8d0e"},{"number":215,"at":"2026-11-03T08:35:01Z","monotonic_ms":301000,"heard":"{\"words\":\"310\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":310}}","hash":"c80132210509d5f39ac2bbd1ff8164b6ae652ef8ef3e15ff9d96f91b9589c1d2"},{"number":216,"at":"2026-11-03T08:35:02.4Z","monotonic_ms":302400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":310},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"70a1ec53048a6987c961e196c9f0e0b768f758d7dc9a5f13432bdc1c20702c16"},{"number":217,"at":"2026-11-03T08:35:03.8Z","monotonic_ms":303800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":310},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"3beeface3181aea01622027611b75a49e66077722f6104aa83b88274a0560387"},{"number":218,"at":"2026-11-03T08:35:05.2Z","monotonic_ms":305200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":310},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"15e4926fa6f6efea4640898904e23121396492517639a279029f0c8f6884be04"},{"number":219,"at":"2026-11-03T08:35:06.6Z","monotonic_ms":306600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":310},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"80a8fddba65800198e71835c6d04260db56065b244d3324624d9d2f8a0b02287"},{"number":220,"at":"2026-11-03T08:35:08Z","monotonic_ms":308000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":310},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"16161653ea6b1695f43cab90c81d68833839a310e2de4e96e7ab36c5e0183dfd"},{"number":221,"at":"2026-11-03T08:35:09.4Z","monotonic_ms":309400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":310},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"afee969dc8bc42bc3c4e4ec52affbf78a9b6872c33f0fcc341fa5f4e4bec8569"},{"number":222,"at":"2026-11-03T08:35:10.8Z","monotonic_ms":310800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[216,217,218,219,220,221]}}","hash":"f04d8b6a2a57a651af8bad613922942fb5a126b390bf0d2dee8d63867cea0294"},{"number":223,"at":"2026-11-03T08:35:12.2Z","monotonic_ms":312200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[216,217,218,219,220,221]}}","hash":"5fa2cbfc24ce0479b6597a6b2c7015d94f873647295644ac8457eccba479659f"},{"number":224,"at":"2026-11-03T08:35:13.6Z","monotonic_ms":313600,"heard":"{\"words\":\"309\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":309}}","hash":"f87fa83df27c2f0438d5a35b4dc66a433b6eb00a81bb0a7ea48d103181704315"},{"number":225,"at":"2026-11-03T08:35:15Z","monotonic_ms":315000,"heard":"{\"words\":\"4 5 8 4 5 9\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"aa51105be2a9fccf9a1a5c6d970e96f14a5542a856b0a6ada5f0a0693dd0a30a"},{"number":226,"at":"2026-11-03T08:35:16.4Z","monotonic_ms":316400,"heard":"{\"words\":\"4 5 8 4 5 9\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":5}},\"challenge\":null}}","hash":"141bc2e9556c7011869e1156761ef3e211603d7af3404b19ec7129d867d133d2"},{"number":227,"at":"2026-11-03T08:35:17.8Z","monotonic_ms":317800,"heard":"{\"words\":\"4 5 8 4 5 9\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":8}},\"challenge\":null}}","hash":"275d818aa2de2f7073a06c18046de265ec33e34c1bf0721f1fa2d0bbe9d1baa5"},{"number":228,"at":"2026-11-03T08:35:19.2Z","monotonic_ms":319200,"heard":"{\"words\":\"4 5 8 4 5 9\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"0d80e7681d7fe62718fc61152def0f6d4eb89afdb808005752b799d3db6962d9"},{"number":229,"at":"2026-11-03T08:35:20.6Z","monotonic_ms":320600,"heard":"{\"words\":\"4 5 8 4 5 9\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":5}},\"challenge\":null}}","hash":"f7d32e2aaf9ab030e07966451ddbd2ee9e9bda231d1a23a4c070fa49812613a6"},{"number":230,"at":"2026-11-03T08:35:22Z","monotonic_ms":322000,"heard":"{\"words\":\"4 5 8 4 5 9\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":9}},\"challenge\":null}}","hash":"374a42eb85af2f043d8442c80627e2d14dd044348c5a02e922c3ee75f7cc1f2a"},{"number":231,"at":"2026-11-03T08:35:23.4Z","monotonic_ms":323400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[225,226,227,228,229,230]}}","hash":"52fb73294d440cbdb0804c8011beb2eee1e7d14ce1c6aefec6998ae2bb264fd3"},{"number":232,"at":"2026-11-03T08:35:24.8Z","monotonic_ms":324800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[225,226,227,228,229,230]}}","hash":"17b9e982bff869faf1c483618c2fb009936b6e7d4ea230292feccdeece9d33c6"},{"number":233,"at":"2026-11-03T08:35:26.2Z","monotonic_ms":326200,"heard":"{\"words\":\"furcation 3 buccal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"furcation\",\"place\":{\"entrance\":\"buccal\"},\"value\":{\"grade\":3}},\"challenge\":null}}","hash":"2946a06545681288faf7080673f69d15b77ef5963682da6bab7c4de5403262b1"},{"number":234,"at":"2026-11-03T08:35:27.6Z","monotonic_ms":327600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[233]}}","hash":"1b61b99eb5c0fb4d046348d986dc052f2b009afd64d56c909fbf9358e1101d11"},{"number":235,"at":"2026-11-03T08:35:29Z","monotonic_ms":329000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[233]}}","hash":"ebe9f7d7fb1a4e42a15fc9f2fb5dd3e74192ee29de02f648ca712ce3e7909f0b"},{"number":236,"at":"2026-11-03T08:35:30.4Z","monotonic_ms":330400,"heard":"{\"words\":\"furcation 3 lingual\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"furcation\",\"place\":{\"entrance\":\"lingual\"},\"value\":{\"grade\":3}},\"challenge\":null}}","hash":"dabaa52e58b1f2f33ce23077a8c391a09380231795bb338c941a45ad5dd60c63"},{"number":237,"at":"2026-11-03T08:35:31.8Z","monotonic_ms":331800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[236]}}","hash":"97593cfe2e4a6cf8551dc7f35dd9bd4b028ba88bc8d6888b7a3cf6b8846953a5"},{"number":238,"at":"2026-11-03T08:35:33.2Z","monotonic_ms":333200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[236]}}","hash":"8f294fddf8d670772953c912d29505097665bdfbe9546e7e3d2bc300379f3794"},{"number":239,"at":"2026-11-03T08:35:34.6Z","monotonic_ms":334600,"heard":"{\"words\":\"mobility 2\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"mobility\",\"place\":\"whole\",\"value\":{\"grade\":2}},\"challenge\":null}}","hash":"a94efe9f6b3d38d0501a8751eab3e8e07569fb6a78aa55ba7adcc64554691aae"},{"number":240,"at":"2026-11-03T08:35:36Z","monotonic_ms":336000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[239]}}","hash":"cc67b810da973af8781bc5a52c6129af73e171b50271c4fd8402be0b27bee9cc"},{"number":241,"at":"2026-11-03T08:35:37.4Z","monotonic_ms":337400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[239]}}","hash":"c2d762a61e009388ff86d2599b4c3102caa213e5fb4e85039adaaeac41e0f287"},{"number":242,"at":"2026-11-03T08:35:38.8Z","monotonic_ms":338800,"heard":"{\"words\":\"recession 3 mm distobuccal\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":309},\"kind\":\"recession\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"26e6a6c23680240c6cd1bbd81491637da5cf29b01cac7b8cb3eefb6287c4145f"},{"number":243,"at":"2026-11-03T08:35:40.2Z","monotonic_ms":340200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[242]}}","hash":"a88b40f8a6d7b98743930ed46a47158ecdc1a24cb8b8fa7c9f3ed341298e72d7"},{"number":244,"at":"2026-11-03T08:35:41.6Z","monotonic_ms":341600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[242]}}","hash":"0aafb68832e0c33bf620227d032c45fb88d46272b5d7d52c7355e814acf6782d"},{"number":245,"at":"2026-11-03T08:35:43Z","monotonic_ms":343000,"heard":"{\"words\":\"308\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":308}}","hash":"717ac73735ebf3796df70820f0ddaaa3303011cfa3d06c494b2f640a4b9feedd"},{"number":246,"at":"2026-11-03T08:35:44.4Z","monotonic_ms":344400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"23386f43755036398efb08dc82e426211fb2d2ac6c316db52579952d27c1d90a"},{"number":247,"at":"2026-11-03T08:35:45.8Z","monotonic_ms":345800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"90b15a68af2029f16bc27540c9bbaeac192d5da8ea31732635e18ba4fe2aed82"},{"number":248,"at":"2026-11-03T08:35:47.2Z","monotonic_ms":347200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"632042133c688478823241098c1819621d72cea7d59494d60b4519bd9b10af6d"},{"number":249,"at":"2026-11-03T08:35:48.6Z","monotonic_ms":348600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"85e168067138b3037307177cec28c167606c5532e9e4e7889eb5eebb26063ccc"},{"number":250,"at":"2026-11-03T08:35:50Z","monotonic_ms":350000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"b2fadb6558506255706966f3c3b3e67a773d2b80d9cf6105ddb457969c515b51"},{"number":251,"at":"2026-11-03T08:35:51.4Z","monotonic_ms":351400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":308},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"dc67e7f45d1ae69e418caa13961da11f898cd2df663fbfc888c0f5fe2644ba90"},{"number":252,"at":"2026-11-03T08:35:52.8Z","monotonic_ms":352800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[246,247,248,249,250,251]}}","hash":"f5e40a385b569a157868e88e2b5c6d5b9cb6b1d2a90aa3f501a87a8a7ce27e59"},{"number":253,"at":"2026-11-03T08:35:54.2Z","monotonic_ms":354200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[246,247,248,249,250,251]}}","hash":"00e45035b0b82a3270948ac356edb1417b3b88673c581077dd0ba513453348ac"},{"number":254,"at":"2026-11-03T08:35:55.6Z","monotonic_ms":355600,"heard":"{\"words\":\"307\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":307}}","hash":"77d19c8c14b4906f7b5290c00707399ab3c502cbe0319855535429d9fdb3c6d3"},{"number":255,"at":"2026-11-03T08:35:57Z","monotonic_ms":357000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"900f0cdaf74f2c762bf565a6e76b39241ef377318b769c769ee523e702602f4c"},{"number":256,"at":"2026-11-03T08:35:58.4Z","monotonic_ms":358400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"b634944991ebb2d7ab02457617948d4d1d0eb9bbc411265316c985b02e4e1b78"},{"number":257,"at":"2026-11-03T08:35:59.8Z","monotonic_ms":359800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"587f5952cefe283096004334baed6a86f1655f410e1be6eac1289a09fe1dda30"},{"number":258,"at":"2026-11-03T08:36:01.2Z","monotonic_ms":361200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"25062abbe5d1b6a4f687337d713a27ec26bb4065cf32f8f78ef7b07338d469ae"},{"number":259,"at":"2026-11-03T08:36:02.6Z","monotonic_ms":362600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"060fa864b41a6cb1d4ca58f16125e564b52935de3bf3dc4010b99f34f2d387c3"},{"number":260,"at":"2026-11-03T08:36:04Z","monotonic_ms":364000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":307},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"539e3272b6430da56d45844421263ba1664647544272c87b619c7bdaad7c5674"},{"number":261,"at":"2026-11-03T08:36:05.4Z","monotonic_ms":365400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[255,256,257,258,259,260]}}","hash":"23550de78b91dd198bf5390cea534502cda18c483c8d85fc0d371ee243d63ab3"},{"number":262,"at":"2026-11-03T08:36:06.8Z","monotonic_ms":366800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[255,256,257,258,259,260]}}","hash":"c5f4ab2361814142692503ee2e803a6389753edbd3c3f058ebabd05d99fc3aa8"},{"number":263,"at":"2026-11-03T08:36:08.2Z","monotonic_ms":368200,"heard":"{\"words\":\"306\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":306}}","hash":"cb12b30554f50e24336b166e4836c70222cee6bc1082f853e31805e3cdd50df1"},{"number":264,"at":"2026-11-03T08:36:09.6Z","monotonic_ms":369600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":306},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"5e60ef08cfdc0801a1c9a606d4912cf7cd86e65f24953120b4a58877355aa41a"},{"number":265,"at":"2026-11-03T08:36:11Z","monotonic_ms":371000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":306},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"f643392e7fcec4fed61ecd18e5abb24662542af306897e9ddc3991bde5455ce4"},{"number":266,"at":"2026-11-03T08:36:12.4Z","monotonic_ms":372400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":306},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"895bef7d012e362fce0b9278685ec57dc7e20972537dbd8bffd1f7d3e6e9c4d2"},{"number":267,"at":"2026-11-03T08:36:13.8Z","monotonic_ms":373800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":306},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"793ded194c53d6b97e766a4f1e13b5034375fc692b3ec9783f1cf5614c74b495"},{"number":268,"at":"2026-11-03T08:36:15.2Z","monotonic_ms":375200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":306},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"f79536e3be7ecfbbdee2400d3cf66d67d7f367229b09472b5b99d7a7ea862d05"},{"number":269,"at":"2026-11-03T08:36:16.6Z","monotonic_ms":376600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":306},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"e81747a37f5efb4a0983008bd66ec12a0248c3578bd3d846ca9d99ffd6b536fb"},{"number":270,"at":"2026-11-03T08:36:18Z","monotonic_ms":378000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[264,265,266,267,268,269]}}","hash":"85f3785831557168f2ef563968d422055791e0aaf6a44eb6d92a6f4011536cd5"},{"number":271,"at":"2026-11-03T08:36:19.4Z","monotonic_ms":379400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[264,265,266,267,268,269]}}","hash":"7c2d60d64ca8075289c79ffd793b45a96d4756d95d824ec31ff4f503cea2f8d0"},{"number":272,"at":"2026-11-03T08:36:20.8Z","monotonic_ms":380800,"heard":"{\"words\":\"305\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":305}}","hash":"a911aa04cb560e2b65f570000a0a4b388ab65b6081ff3627827047a1d6d8cd2a"},{"number":273,"at":"2026-11-03T08:36:22.2Z","monotonic_ms":382200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":305},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"61bae52ed3707a4545d1267ee587a1e37850402b29d33744b9ef17ce2dffea7e"},{"number":274,"at":"2026-11-03T08:36:23.6Z","monotonic_ms":383600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":305},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"91677de920d54bb58baabe52e6510a7b51a6b5cdcc8f4c9a321e5a4291dcbdb4"},{"number":275,"at":"2026-11-03T08:36:25Z","monotonic_ms":385000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":305},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"f77bc9267774fb358b7442ff590e3729911ade99c90a280c7870f6f66149a05b"},{"number":276,"at":"2026-11-03T08:36:26.4Z","monotonic_ms":386400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":305},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"ff89b0113e743faea825b1a13f56570e33ba3df4428f73a9aac67aa61daf6773"},{"number":277,"at":"2026-11-03T08:36:27.8Z","monotonic_ms":387800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":305},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"0de81fc09dee5252ea01aba589218c34caa4f7f201e4349864c3c264ff88ab0a"},{"number":278,"at":"2026-11-03T08:36:29.2Z","monotonic_ms":389200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":305},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"56d1169272f9187ff41b8c6fdafdc87e9886219ecfe4d4e154fdcf7417c85d2c"},{"number":279,"at":"2026-11-03T08:36:30.6Z","monotonic_ms":390600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[273,274,275,276,277,278]}}","hash":"5bfdfb1e819285d9f5509b2f853c8263944d4f1b106b667c557def4cd8b44948"},{"number":280,"at":"2026-11-03T08:36:32Z","monotonic_ms":392000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[273,274,275,276,277,278]}}","hash":"8d49b05b145e87ff713a17b5a4675745fb4f2a2d1bb919bd2e8b6ff215c5e731"},{"number":281,"at":"2026-11-03T08:36:33.4Z","monotonic_ms":393400,"heard":"{\"words\":\"304\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":304}}","hash":"de527d2d546aadac260c10f036d52a33b5aa83d34c31f9581c1449f19f93ab08"},{"number":282,"at":"2026-11-03T08:36:34.8Z","monotonic_ms":394800,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"12bc92feae39693bbc28b17528fc8af26507cf9bfb99af48cb0b503fe5042194"},{"number":283,"at":"2026-11-03T08:36:36.2Z","monotonic_ms":396200,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"c656a270d35806d0e2939261b53719b74831e587fb9a969957571a62b29a5836"},{"number":284,"at":"2026-11-03T08:36:37.6Z","monotonic_ms":397600,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"20d52541b3f4b4dfa347b726a808cf13fdf24f479549859506a6685af1412c43"},{"number":285,"at":"2026-11-03T08:36:39Z","monotonic_ms":399000,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"4979442a687936d9d1720e2758c3682c0183a72e36931528e54ee441920b663b"},{"number":286,"at":"2026-11-03T08:36:40.4Z","monotonic_ms":400400,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"b53b9a03fd552fa42420dd0b082de7091dd60239ce1ea36aa23edb0c8a83090c"},{"number":287,"at":"2026-11-03T08:36:41.8Z","monotonic_ms":401800,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":304},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"c67091f942342dc822573c1b3dd59f78e433f3939aee360689a88ffa76090d42"},{"number":288,"at":"2026-11-03T08:36:43.2Z","monotonic_ms":403200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[282,283,284,285,286,287]}}","hash":"e318424bfd96a8935dea1f7678132bfa7e909596d2161ee19dc1b2101ade39e3"},{"number":289,"at":"2026-11-03T08:36:44.6Z","monotonic_ms":404600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[282,283,284,285,286,287]}}","hash":"57a0856ec32095023d09ddc58eea6c23d40efbd1ea1c367f235a37cd2d6c8fd2"},{"number":290,"at":"2026-11-03T08:36:46Z","monotonic_ms":406000,"heard":"{\"words\":\"303\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":303}}","hash":"035eb1678400c96c0893b57b6e05d852e97b0fe6ccd7800ad375b18b7734bf3f"},{"number":291,"at":"2026-11-03T08:36:47.4Z","monotonic_ms":407400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":303},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"79c7432ad04403b358b9321cd8b16b1ad6950e99a3af0a4def61fbeb444c39fe"},{"number":292,"at":"2026-11-03T08:36:48.8Z","monotonic_ms":408800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":303},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"09a87a4b014c3be158775890cfca88850eff95103a1d0abb53ca60418f3a707e"},{"number":293,"at":"2026-11-03T08:36:50.2Z","monotonic_ms":410200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":303},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"58d5961e67b1ae55b7ee0bdfb4d565166ec0746d8758ffa6d6b57e366dc61e74"},{"number":294,"at":"2026-11-03T08:36:51.6Z","monotonic_ms":411600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":303},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e3ae0dc630949beaae5a2b43bd5aec78ec21a110f5bbd71ff6d702604c38d854"},{"number":295,"at":"2026-11-03T08:36:53Z","monotonic_ms":413000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":303},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"cf52b638c4a67554bfd5ef60d1e6e32b6638cb597929868faae517e57c9ea874"},{"number":296,"at":"2026-11-03T08:36:54.4Z","monotonic_ms":414400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":303},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"da2d7a4cd0986c9013696d8e489033d4b978a99769bff12b80dfdfc9d9defb88"},{"number":297,"at":"2026-11-03T08:36:55.8Z","monotonic_ms":415800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[291,292,293,294,295,296]}}","hash":"099bb84e041215f7639d2fa8de122018e7bb912535c4a88ddfd2176798566872"},{"number":298,"at":"2026-11-03T08:36:57.2Z","monotonic_ms":417200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[291,292,293,294,295,296]}}","hash":"1c18f960fec270c2985f2a8017cc202a065d19af1482971ecd134c3933b3d63a"},{"number":299,"at":"2026-11-03T08:36:58.6Z","monotonic_ms":418600,"heard":"{\"words\":\"302\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":302}}","hash":"60b0f0f0e3ccad22880f777b9e7610b6517337f3f14a5896ee2c0eec2dc8fa42"},{"number":300,"at":"2026-11-03T08:37:00Z","monotonic_ms":420000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"95d7c20bc6cdfe8857beaf12a03371c25ffabb27dda354e697e50cbcb350470a"},{"number":301,"at":"2026-11-03T08:37:01.4Z","monotonic_ms":421400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"d8aadedbc98d0a6b336d0564f095f51aedf9146899aeb263636b16edec067054"},{"number":302,"at":"2026-11-03T08:37:02.8Z","monotonic_ms":422800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"9eeaf2c405fdfca08ffe345137f42f516a1506474cee16efd8e46f43eafd31cd"},{"number":303,"at":"2026-11-03T08:37:04.2Z","monotonic_ms":424200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f8104cb8972a83c0fdf457d61cbf61115c2ea925cbf5527684b7b4522198ea64"},{"number":304,"at":"2026-11-03T08:37:05.6Z","monotonic_ms":425600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"07979e8b6708905dba14ec0e826a121c37f3730e5d79d9f69efd61c469a8a0a4"},{"number":305,"at":"2026-11-03T08:37:07Z","monotonic_ms":427000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"af4fe2782bf15ad9ad3aa828f5237abaf8cf08c88437dc8090954457c537608e"},{"number":306,"at":"2026-11-03T08:37:08.4Z","monotonic_ms":428400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[300,301,302,303,304,305]}}","hash":"43288037314b87aa9fb8712ba45ace2f9f5036ef488db89039a7b081d9466d18"},{"number":307,"at":"2026-11-03T08:37:09.8Z","monotonic_ms":429800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[300,301,302,303,304,305]}}","hash":"4c50256e8d4720c2ff38d35cc9eecec277e6c1ef293e17d210d1ea68c98be396"},{"number":308,"at":"2026-11-03T08:37:11.2Z","monotonic_ms":431200,"heard":"{\"words\":\"301\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":301}}","hash":"15f724ec6aac4d0ba73cba81787a3a77db347b72b91c5cfca3d84d2de4559694"},{"number":309,"at":"2026-11-03T08:37:12.6Z","monotonic_ms":432600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":301},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"76cb7665feca6d024d6ae7b6f43f655dc8980e5b82cc180ca06b202c2770dd8e"},{"number":310,"at":"2026-11-03T08:37:14Z","monotonic_ms":434000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":301},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"9cb88367891c66242dbd7d897a5209ad34161b6ff1a5922546d02fe41d126669"},{"number":311,"at":"2026-11-03T08:37:15.4Z","monotonic_ms":435400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":301},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"fedd6671f793ad325011568726cc510720e561fb09256829791c5a67a53cff20"},{"number":312,"at":"2026-11-03T08:37:16.8Z","monotonic_ms":436800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":301},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"8c2f07960f8c40c8ca196555b0161faf3c62ab29f099e68fb670cb3630e7d900"},{"number":313,"at":"2026-11-03T08:37:18.2Z","monotonic_ms":438200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":301},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"631889a952553116e0733a4ae3da5f54e3b50205e6ff92f693ee93c7ce0f31a0"},{"number":314,"at":"2026-11-03T08:37:19.6Z","monotonic_ms":439600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":301},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"5472fdc7f45539dcf53cf1436bfc986b37153b3aca979f913adf11afbb100bb1"},{"number":315,"at":"2026-11-03T08:37:21Z","monotonic_ms":441000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[309,310,311,312,313,314]}}","hash":"4c2fa8fc9b2daac27514824c9370445a09acd4ed9d180e09dc76ac955aeb4170"},{"number":316,"at":"2026-11-03T08:37:22.4Z","monotonic_ms":442400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[309,310,311,312,313,314]}}","hash":"58f1a13e7979b09317f6ac4cd9744fd442b91e080f876f05c49a66013989aff3"},{"number":317,"at":"2026-11-03T08:37:23.8Z","monotonic_ms":443800,"heard":"{\"words\":\"401\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":401}}","hash":"08c539a1eff88f1b86d42cf6712561ebc5c95cb4b4e187466e37c0aac9c38f7b"},{"number":318,"at":"2026-11-03T08:37:25.2Z","monotonic_ms":445200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":401},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"0eecd4b38e42f8c43ffc2f73140da8346a393bb2e13b33332cdffd5812ad40fd"},{"number":319,"at":"2026-11-03T08:37:26.6Z","monotonic_ms":446600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":401},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2e15bbd20de4ab4594f27815039e44aa11aef5a23b24997c0ef16cbec347c921"},{"number":320,"at":"2026-11-03T08:37:28Z","monotonic_ms":448000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":401},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"0208d08dc399a550d8ea7b473eee0570acd2837e5b27f9e833d81858763a61fd"},{"number":321,"at":"2026-11-03T08:37:29.4Z","monotonic_ms":449400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":401},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f418700880ae6859512bba2fff0b08a206d4de83459626b22ee0fc79f0caf938"},{"number":322,"at":"2026-11-03T08:37:30.8Z","monotonic_ms":450800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":401},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"3eeef605f3e248e81d8ea94ae6b89d7d8d3b8b40a6ac0a3f8906c5f1c6c920f5"},{"number":323,"at":"2026-11-03T08:37:32.2Z","monotonic_ms":452200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":401},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"f6447bc229b3dacd2fb941d09a2042d83c5bf0e4943668cca7a989b42aaaa20f"},{"number":324,"at":"2026-11-03T08:37:33.6Z","monotonic_ms":453600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[318,319,320,321,322,323]}}","hash":"776edea660b255733e138122da7bddbfd1066afb60451b6e51b41cbed10603d4"},{"number":325,"at":"2026-11-03T08:37:35Z","monotonic_ms":455000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[318,319,320,321,322,323]}}","hash":"9476b2c621678e6ecc579be6b070e9961f519ed215cf82c78b345a082dd6f764"},{"number":326,"at":"2026-11-03T08:37:36.4Z","monotonic_ms":456400,"heard":"{\"words\":\"402\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":402}}","hash":"7c172f619c4b7ba89d5dd391cb2c76a058ac9e469bd7dbbbcd9eab752c893235"},{"number":327,"at":"2026-11-03T08:37:37.8Z","monotonic_ms":457800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":402},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2a9b472852da2012d28a0e8b3601a8494115eb796011d39bbc94284471dc8e0f"},{"number":328,"at":"2026-11-03T08:37:39.2Z","monotonic_ms":459200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":402},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"b0b6a6c0f45426c14a72bf6ab8175dd95b49b587149817aecd7b4357294e8ada"},{"number":329,"at":"2026-11-03T08:37:40.6Z","monotonic_ms":460600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":402},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"2a113e889a1289586e14dc38d79f7308c3808eb9d6975217921b8b15caf05c0f"},{"number":330,"at":"2026-11-03T08:37:42Z","monotonic_ms":462000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":402},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"08f46603fab77c8d763d1059c1ca9b954d0efc5f1864f80a79769b2c1f5c04f9"},{"number":331,"at":"2026-11-03T08:37:43.4Z","monotonic_ms":463400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":402},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"52402fbf7ebaec4e240dae2f843a17f66d5be00d28333dc891cee63d9410d610"},{"number":332,"at":"2026-11-03T08:37:44.8Z","monotonic_ms":464800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":402},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"a9907563b79035cc598b6ad5f2e4ad6db7eee2cb392b609e9cfa7ccf5ec22c61"},{"number":333,"at":"2026-11-03T08:37:46.2Z","monotonic_ms":466200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[327,328,329,330,331,332]}}","hash":"7f18b1c96797deaf4693d318affe3b0ee9f638a4731071fc62618fbf53a7b8ec"},{"number":334,"at":"2026-11-03T08:37:47.6Z","monotonic_ms":467600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[327,328,329,330,331,332]}}","hash":"b8f5e1718c4ef339749238c99a6fe04f763f723b143b2a90a55917cb1f2775ea"},{"number":335,"at":"2026-11-03T08:37:49Z","monotonic_ms":469000,"heard":"{\"words\":\"403\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":403}}","hash":"9c39189117c8d06f8d74642fe4f0839a189dd309586cd956c05f0859d35d4a7b"},{"number":336,"at":"2026-11-03T08:37:50.4Z","monotonic_ms":470400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":403},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"379dba7393eff4ee4f697862e03395cde45a5a02166d8b84d84d0afa430e64c9"},{"number":337,"at":"2026-11-03T08:37:51.8Z","monotonic_ms":471800,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":403},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"fdb5058c696e3ca37e6c1aa871d8e4b28f5ce843c500f8c00eca54ac24fa68ab"},{"number":338,"at":"2026-11-03T08:37:53.2Z","monotonic_ms":473200,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":403},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"e4cf9fd2b8557e0968756588262e64d801c1100aad70edca4e8fde923a854ebb"},{"number":339,"at":"2026-11-03T08:37:54.6Z","monotonic_ms":474600,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":403},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"aa1d91a272ee383238e036952dbec70aa16b730b2edf49897ce64a60459086cc"},{"number":340,"at":"2026-11-03T08:37:56Z","monotonic_ms":476000,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":403},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"894dc9182139cc6d3b1a7007151f4c6cc87f855debfebc052e13aafc27bdd3b8"},{"number":341,"at":"2026-11-03T08:37:57.4Z","monotonic_ms":477400,"heard":"{\"words\":\"1 1 1 1 1 1\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":403},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":1}},\"challenge\":null}}","hash":"1ffbd1af30e321132dfe1a6e33bde7a42b74caadbc077f3975ed26bb97011ef7"},{"number":342,"at":"2026-11-03T08:37:58.8Z","monotonic_ms":478800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[336,337,338,339,340,341]}}","hash":"13f573c4359bfad8e3af59a5b7d2ccfb91e770ce7d7e81f6a68b5f6023a5e956"},{"number":343,"at":"2026-11-03T08:38:00.2Z","monotonic_ms":480200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[336,337,338,339,340,341]}}","hash":"22f6acc39ac0d7a5cf2b4cc6406615641c4c3240cabdf2ff0d0c829a8f3db977"},{"number":344,"at":"2026-11-03T08:38:01.6Z","monotonic_ms":481600,"heard":"{\"words\":\"wear attrition\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":302},\"kind\":\"wear\",\"place\":\"whole\",\"value\":{\"code\":\"attrition\"}},\"challenge\":null}}","hash":"bc118a864b9e90701cb7a9dd3cf00759b12b51ee3b0bb0b56bd82e9011078f19"},{"number":345,"at":"2026-11-03T08:38:03Z","monotonic_ms":483000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[344]}}","hash":"874506d94121fec12f811a06bc760d4c3d07205a9729784d7c35a9541ef2702d"},{"number":346,"at":"2026-11-03T08:38:04.4Z","monotonic_ms":484400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[344]}}","hash":"e2d6fe6eefeb32b1a618bc00522a544f90d46fe2f158244e3ae110ca81a5789d"},{"number":347,"at":"2026-11-03T08:38:05.8Z","monotonic_ms":485800,"heard":"{\"words\":\"404\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":404}}","hash":"64e04421c0e193fe8c0c90e528a11d2cd2bfc6fcf0e1b51e866ab50f49022772"},{"number":348,"at":"2026-11-03T08:38:07.2Z","monotonic_ms":487200,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":404},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"e46c3e7a22a6d94b715e8597744f6b4cdecdbf0f68b1e121354dd12b2569953b"},{"number":349,"at":"2026-11-03T08:38:08.6Z","monotonic_ms":488600,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":404},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"50e3ad6762a896630828ec6fe51fcde5bd4146f2f513d60ffd96e4ca42bb22d1"},{"number":350,"at":"2026-11-03T08:38:10Z","monotonic_ms":490000,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":404},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"b1fedbb5c1d53493e113e6a5816dc21d187cb79f57d9215d48e49a7152290495"},{"number":351,"at":"2026-11-03T08:38:11.4Z","monotonic_ms":491400,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":404},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"1787a111a8ce66d3d0ee112217b9df0d3c5e7c9b48e82086109057a08c8ae3df"},{"number":352,"at":"2026-11-03T08:38:12.8Z","monotonic_ms":492800,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":404},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"0d9cf80cd58114be0ecdccb7b1977a271955382c07d04564b38084218bff9104"},{"number":353,"at":"2026-11-03T08:38:14.2Z","monotonic_ms":494200,"heard":"{\"words\":\"3 3 3 3 3 3\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":404},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"0eedd445e8bc0bb7e08ba595d4ad906cd61962a408489793e784a44496badcc4"},{"number":354,"at":"2026-11-03T08:38:15.6Z","monotonic_ms":495600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[348,349,350,351,352,353]}}","hash":"122c12a78024d9c8260edd62771d59cf6f2c5b294ac68879f8cc03a851b50ba9"},{"number":355,"at":"2026-11-03T08:38:17Z","monotonic_ms":497000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[348,349,350,351,352,353]}}","hash":"8b0ce8a063eb54adb8a58c7c0ef887399707b6441909bd98d93b177240df4edc"},{"number":356,"at":"2026-11-03T08:38:18.4Z","monotonic_ms":498400,"heard":"{\"words\":\"405\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":405}}","hash":"ee2dc3ade675b24cd4877e380551c3d6c1a6ae1ed510185c3c06d9bef8654448"},{"number":357,"at":"2026-11-03T08:38:19.8Z","monotonic_ms":499800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":405},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"92f2ca0b67dd1742f68f4b1e760025152f0e280c10d16895664b85e160113060"},{"number":358,"at":"2026-11-03T08:38:21.2Z","monotonic_ms":501200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":405},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"de6c998db13f0465dd054183136dac16fb6f28bd1fbe85b67e1fefb1b4c3e867"},{"number":359,"at":"2026-11-03T08:38:22.6Z","monotonic_ms":502600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":405},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d8e457d1a6deb7eb0304ae25d18a84eabcbece0417132444972279991c4526cc"},{"number":360,"at":"2026-11-03T08:38:24Z","monotonic_ms":504000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":405},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"81249cec9252461a3feeaf687640734b37919409cfb18bb819283000dbbd46a8"},{"number":361,"at":"2026-11-03T08:38:25.4Z","monotonic_ms":505400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":405},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"549949d50ce1539e46b0ce0f39f4fb479c7bf31b2536efbffb804da62b88d86b"},{"number":362,"at":"2026-11-03T08:38:26.8Z","monotonic_ms":506800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":405},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d879a4781e244cb2f98dc1299d5f6ab4797f45ef180992bc52b8d2ea2e96719e"},{"number":363,"at":"2026-11-03T08:38:28.2Z","monotonic_ms":508200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[357,358,359,360,361,362]}}","hash":"2272adfb8489e510b02ee758790c4a97d1b543747aef55ad7f136105398b6325"},{"number":364,"at":"2026-11-03T08:38:29.6Z","monotonic_ms":509600,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[357,358,359,360,361,362]}}","hash":"722d363a52fd754fd94640421d29439f284ec6e0f732ab1453010c9b06d8cba7"},{"number":365,"at":"2026-11-03T08:38:31Z","monotonic_ms":511000,"heard":"{\"words\":\"406\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":406}}","hash":"78ec86bf3f9776005772a9412cc57707f26bc71dbfe29349631c35a40be2d3b6"},{"number":366,"at":"2026-11-03T08:38:32.4Z","monotonic_ms":512400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":406},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"053b8b791ef6dfdf3f5d24b8ed6e6e77a2c1ad584feeaa93bedcf523e1815431"},{"number":367,"at":"2026-11-03T08:38:33.8Z","monotonic_ms":513800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":406},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"a8fc33a89021ae69043e30a113e14037ee084094cdeb38cb2d68f125848dc8b7"},{"number":368,"at":"2026-11-03T08:38:35.2Z","monotonic_ms":515200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":406},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"aa3a5c2179f09de0b0e8b6157a4a821e8fc57e30957d70c8634317031932eacb"},{"number":369,"at":"2026-11-03T08:38:36.6Z","monotonic_ms":516600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":406},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"04f3ff114aaed997e6714c9b1d62837d0ec21e91415eaac4db71ef1d4f421dd1"},{"number":370,"at":"2026-11-03T08:38:38Z","monotonic_ms":518000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":406},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"13f733d5ccda160ac86f09e0f4b797b0fcf6c07147c48619eec18cf4f7a16312"},{"number":371,"at":"2026-11-03T08:38:39.4Z","monotonic_ms":519400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":406},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"f954b1adcdbdc8c2310595742fae32140c628d2d2b8c5e207240fbc29b940e26"},{"number":372,"at":"2026-11-03T08:38:40.8Z","monotonic_ms":520800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[366,367,368,369,370,371]}}","hash":"e968a9bfa954fdbb7de8c9fc7433140ba68050f5d1db79e227e3858fd4d47f46"},{"number":373,"at":"2026-11-03T08:38:42.2Z","monotonic_ms":522200,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[366,367,368,369,370,371]}}","hash":"ef7d5d6e1c05cb4b501443798929ef5aa3097c1933509b369f9dd43f6f1c5394"},{"number":374,"at":"2026-11-03T08:38:43.6Z","monotonic_ms":523600,"heard":"{\"words\":\"407\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":407}}","hash":"2596b1d9098a89d269673d122388a73d4d62437506ce0d472af113a36045b194"},{"number":375,"at":"2026-11-03T08:38:45Z","monotonic_ms":525000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":407},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"1bbb3702cd1da8ccb9f0a7b823df9a5ae1c781ee59aa4d5aa941a486e6bb214d"},{"number":376,"at":"2026-11-03T08:38:46.4Z","monotonic_ms":526400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":407},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"5686f0490adcb941b2bf1b8025186716a735c887d07fc0c9ff8017a4028dd751"},{"number":377,"at":"2026-11-03T08:38:47.8Z","monotonic_ms":527800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":407},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"76bd9e2089d07bffa2a7e76cebb8c17f515521c261de1578c2e187dc3af50720"},{"number":378,"at":"2026-11-03T08:38:49.2Z","monotonic_ms":529200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":407},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"a2677146b072d0079d6d1a6c02c7b33ab5a86c5dca94a5c6f99f13d1025620d3"},{"number":379,"at":"2026-11-03T08:38:50.6Z","monotonic_ms":530600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":407},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"7470d70585af51962060ad226969ada8aeddb495e40aa728d8a2a8b9357375bf"},{"number":380,"at":"2026-11-03T08:38:52Z","monotonic_ms":532000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":407},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"d3d55a7e67761f8fec810290bb888dfceabd36c68f4f0be87e6ef4bebd705236"},{"number":381,"at":"2026-11-03T08:38:53.4Z","monotonic_ms":533400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[375,376,377,378,379,380]}}","hash":"4f2989c73febf113d4c9f3c082e260b9be51dda1f73dd607773560fda2836cec"},{"number":382,"at":"2026-11-03T08:38:54.8Z","monotonic_ms":534800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[375,376,377,378,379,380]}}","hash":"48fb4081ef6cd0321d95511b2b65e4482c85c2648cc1674ae4a2cf198aab2fa3"},{"number":383,"at":"2026-11-03T08:38:56.2Z","monotonic_ms":536200,"heard":"{\"words\":\"408\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":408}}","hash":"5b38dd01b62de5510b18d91f57b3ccff8aba1a63df088be1e88ebc26ed87608a"},{"number":384,"at":"2026-11-03T08:38:57.6Z","monotonic_ms":537600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":408},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"40538fb6da1ad367bfb5e4c207522a280b076bbda31b9132e94df54a54e11a24"},{"number":385,"at":"2026-11-03T08:38:59Z","monotonic_ms":539000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":408},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"1fdb9afef88a55972d7dde4f4d7fc6d3ec491242d4a778a48734410e062581a9"},{"number":386,"at":"2026-11-03T08:39:00.4Z","monotonic_ms":540400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":408},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"074a99b50d064fd84c46e94faa09b6ba9729908c4308453a66bf9bb9fcc4c78f"},{"number":387,"at":"2026-11-03T08:39:01.8Z","monotonic_ms":541800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":408},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"843b0f0c1df3abe5ac326cd427253ad995f4b2f47c1a8a9b6f479dd530e3f8c1"},{"number":388,"at":"2026-11-03T08:39:03.2Z","monotonic_ms":543200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":408},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"26955224408c0bdc5fbbdcca62e17377e599049cf1d9aaa804258418395c5cf2"},{"number":389,"at":"2026-11-03T08:39:04.6Z","monotonic_ms":544600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":408},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"30db6ad4b32634c686dd87e606fcb120eaee2190027c4018dcf2535eeb40cfb2"},{"number":390,"at":"2026-11-03T08:39:06Z","monotonic_ms":546000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[384,385,386,387,388,389]}}","hash":"e850d42ba4455122b82855f2db7fc10e06e2b6058de21408f7c40d2bafa3db03"},{"number":391,"at":"2026-11-03T08:39:07.4Z","monotonic_ms":547400,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[384,385,386,387,388,389]}}","hash":"b85c11bf0cdd05b9454b952e4c59e21d3d0309014cd040d7365378d591086be1"},{"number":392,"at":"2026-11-03T08:39:08.8Z","monotonic_ms":548800,"heard":"{\"words\":\"409\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":409}}","hash":"09ac92a5e3f15e3077a218067565fa889188d2f58cd097463353f02fa19fcf04"},{"number":393,"at":"2026-11-03T08:39:10.2Z","monotonic_ms":550200,"heard":"{\"words\":\"3 3 4 3 3 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"75c7650ffc630791ec698cf9299b52573898552412223f695e55285753988bb2"},{"number":394,"at":"2026-11-03T08:39:11.6Z","monotonic_ms":551600,"heard":"{\"words\":\"3 3 4 3 3 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"33965e2651437e9d0c344bddedf514f07ccd30aa5588e86a9397013c9f31bc75"},{"number":395,"at":"2026-11-03T08:39:13Z","monotonic_ms":553000,"heard":"{\"words\":\"3 3 4 3 3 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"5524dcfef181bfb94879063089783c599f8ec09710c514ae54902c07b7cee984"},{"number":396,"at":"2026-11-03T08:39:14.4Z","monotonic_ms":554400,"heard":"{\"words\":\"3 3 4 3 3 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"04c791faab91810dd16d19174491e3b4b8623d80bad09711813f509090dc79f5"},{"number":397,"at":"2026-11-03T08:39:15.8Z","monotonic_ms":555800,"heard":"{\"words\":\"3 3 4 3 3 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":3}},\"challenge\":null}}","hash":"633f27152ac83b48fc31091dc463a3effc4a581ca13ee2a0a9bf97dad52f0684"},{"number":398,"at":"2026-11-03T08:39:17.2Z","monotonic_ms":557200,"heard":"{\"words\":\"3 3 4 3 3 4\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":4}},\"challenge\":null}}","hash":"af02583b19cd047357ccce8a3e80194af9ad22c11c2c68a5d5d5e4f83003a646"},{"number":399,"at":"2026-11-03T08:39:18.6Z","monotonic_ms":558600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[393,394,395,396,397,398]}}","hash":"f7d82797a2ee3b99adfc7e2c1d4af9bd4898dce92973f5a9eb287c27d055225a"},{"number":400,"at":"2026-11-03T08:39:20Z","monotonic_ms":560000,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[393,394,395,396,397,398]}}","hash":"1779ae0b4abd49e9daa7c3d5618df39d856ddcf3988b8daeca77c8e14abd7424"},{"number":401,"at":"2026-11-03T08:39:21.4Z","monotonic_ms":561400,"heard":"{\"words\":\"calculus 2\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":409},\"kind\":\"calculus\",\"place\":\"whole\",\"value\":{\"grade\":2}},\"challenge\":null}}","hash":"cd9fb0383557981378623df5c721d166e10dc287f5f8cb897dccb67f62e44aa5"},{"number":402,"at":"2026-11-03T08:39:22.8Z","monotonic_ms":562800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[401]}}","hash":"2a8115463bd19398e8ff7e0de964e4218ad9170f9dbb238c59b76679bd8e0f6e"},{"number":403,"at":"2026-11-03T08:39:24.2Z","monotonic_ms":564200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[401]}}","hash":"20ad4b8e024b4c223ca1a5464de0d1a4285707e907c31b5174e8125da45f8431"},{"number":404,"at":"2026-11-03T08:39:25.6Z","monotonic_ms":565600,"heard":"{\"words\":\"410\",\"confidence\":0.99,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"tooth_chosen\":{\"tooth\":410}}","hash":"722b87a3f5b6c5b4a81566fcb1d2fce119fd465016ee7eea763978f7022a822c"},{"number":405,"at":"2026-11-03T08:39:27Z","monotonic_ms":567000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":410},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"ebd02bb2eaa4c5a5ab1eca00c33eef80b2abacbeab10161e8b672d2269ea695a"},{"number":406,"at":"2026-11-03T08:39:28.4Z","monotonic_ms":568400,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":410},\"kind\":\"depth\",\"place\":{\"site\":\"buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"f3a898f444bcc27c0d75d8e55a36177967a2f5fb315435ac7c24bc612f7e5a5e"},{"number":407,"at":"2026-11-03T08:39:29.8Z","monotonic_ms":569800,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":410},\"kind\":\"depth\",\"place\":{\"site\":\"disto_buccal\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"863e2cb1be7b8ecbdbd12b25f4410199a7ed9740f47cc5cdb47528b417e88858"},{"number":408,"at":"2026-11-03T08:39:31.2Z","monotonic_ms":571200,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":410},\"kind\":\"depth\",\"place\":{\"site\":\"mesio_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"8af26812064e32c2e8122c1f018cb7a78c539ac68107be9bc97fcbf2d2265c2c"},{"number":409,"at":"2026-11-03T08:39:32.6Z","monotonic_ms":572600,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":410},\"kind\":\"depth\",\"place\":{\"site\":\"lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"beec5b0ffd331634ecd5a9d4dbb015e4cdd7de94898cf65125bfcb17ba8c3081"},{"number":410,"at":"2026-11-03T08:39:34Z","monotonic_ms":574000,"heard":"{\"words\":\"2 2 2 2 2 2\",\"confidence\":0.94,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":410},\"kind\":\"depth\",\"place\":{\"site\":\"disto_lingual\"},\"value\":{\"mm\":2}},\"challenge\":null}}","hash":"46c7fdd41796be3541ed89714bf56164cca0497bcdb17b2899a8f07938615d1d"},{"number":411,"at":"2026-11-03T08:39:35.4Z","monotonic_ms":575400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[405,406,407,408,409,410]}}","hash":"25070b66d9055e2de06a8b16e81db7e1cb8af9a58031fad374df8edaec49f662"},{"number":412,"at":"2026-11-03T08:39:36.8Z","monotonic_ms":576800,"heard":"{\"words\":\"next\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[405,406,407,408,409,410]}}","hash":"3500b021d83553a90b7b2a46ba5a17c9d8100d9016e5769fd5d40a7100193ecb"},{"number":413,"at":"2026-11-03T08:39:38.2Z","monotonic_ms":578200,"heard":"{\"words\":\"mobility 1\",\"confidence\":0.91,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":{\"tooth\":411},\"kind\":\"mobility\",\"place\":\"whole\",\"value\":{\"grade\":1}},\"challenge\":null}}","hash":"2367d7b24ee1fde49d39a8e4409d0c64c16a23bd693e423013e7e6ec97fbc918"},{"number":414,"at":"2026-11-03T08:39:39.6Z","monotonic_ms":579600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[413]}}","hash":"690570bead69c50666ca6691c97843b95655bf170744b89018f32a44be9210ec"},{"number":415,"at":"2026-11-03T08:39:41Z","monotonic_ms":581000,"heard":"{\"words\":\"mass left cheek six millimetres\",\"confidence\":0.88,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"finding_recorded\":{\"finding\":{\"subject\":\"mouth\",\"kind\":\"mass\",\"place\":{\"area\":[\"cheek\",\"left\"]},\"value\":{\"mm\":6}},\"challenge\":null}}","hash":"174f40165f2b24133228c9a4cc28a6a08891750bd85df70d5a9a3f22d05b01bf"},{"number":416,"at":"2026-11-03T08:39:42.4Z","monotonic_ms":582400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[415]}}","hash":"91de3a5c2003e669d2ee3b36f206171df9b605522c4ecb715725f3c16a8ca468"},{"number":417,"at":"2026-11-03T08:39:43.8Z","monotonic_ms":583800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[415]}}","hash":"cabba8239bc3132fd1cebdcbd98d891cc54d85bb783f751bbba4d4be972e16ba"},{"number":418,"at":"2026-11-03T08:39:45.2Z","monotonic_ms":585200,"heard":"{\"words\":\"film taken: 108, 208, 309, 104\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"film_taken\":{\"teeth\":[108,208,309,104]}},\"challenge\":null}}","hash":"e42da81030bbeeda0348946cb5a9315996f60faade88407902c818752f47cfda"},{"number":419,"at":"2026-11-03T08:39:46.6Z","monotonic_ms":586600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[418]}}","hash":"70f2482222004b18e9cb010f2dc70e19b845e1b7029548a82b605bf6b2d2d9ce"},{"number":420,"at":"2026-11-03T08:39:48Z","monotonic_ms":588000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[418]}}","hash":"14ea0008edd4cac037a124d1e3ea1870fab5b01ca717492fbdd48c24875653ee"},{"number":421,"at":"2026-11-03T08:39:49.4Z","monotonic_ms":589400,"heard":"{\"words\":\"films read\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"films_read\",\"challenge\":null}}","hash":"40fa64cf395d65a193c9323bbe4ab770f8437f12686b3054ff74e642de3e78ea"},{"number":422,"at":"2026-11-03T08:39:50.8Z","monotonic_ms":590800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[421]}}","hash":"ce543b656c1137965b746e9fff6e09079e3e1a4a8338cf3391929315cccf3654"},{"number":423,"at":"2026-11-03T08:39:52.2Z","monotonic_ms":592200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[421]}}","hash":"c420f2bd538f7cb569609de49bd99da1f6568528b740c5aa2135e7734469197a"},{"number":424,"at":"2026-11-03T08:39:53.6Z","monotonic_ms":593600,"heard":"{\"words\":\"extract\",\"confidence\":0.95,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":108,\"decision\":\"extract\",\"reason\":\"fracture\",\"challenge\":null}}","hash":"15f4272e3d6b14bdfe176ed4f295ecaa82a3b49d9cd56c3afe704dcabdd0b04f"},{"number":425,"at":"2026-11-03T08:39:55Z","monotonic_ms":595000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[424]}}","hash":"1e95d7bae884c5aab88ab9d6f5b8d131e872b4b19a5f53b46880e68c38b38b81"},{"number":426,"at":"2026-11-03T08:39:56.4Z","monotonic_ms":596400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[424]}}","hash":"0300dfb38365e3e122a129a52295e21dace045d9fb36b4fe5de7fe8e3c754424"},{"number":427,"at":"2026-11-03T08:39:57.8Z","monotonic_ms":597800,"heard":"{\"words\":\"extract\",\"confidence\":0.95,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":309,\"decision\":\"extract\",\"reason\":\"furcation\",\"challenge\":null}}","hash":"2c5bc69e5e7127927bbe69e207bbcdb7dddcf98cb5dc7af643371bfe8da0109d"},{"number":428,"at":"2026-11-03T08:39:59.2Z","monotonic_ms":599200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[427]}}","hash":"fc57f252fdb580775edb242853969c698fb77ed5e23fd358e9249ac4b4724751"},{"number":429,"at":"2026-11-03T08:40:00.6Z","monotonic_ms":600600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[427]}}","hash":"87866d26bb0a51f67d7e81940590e069568b169f27ba8d59e49974deb5960151"},{"number":430,"at":"2026-11-03T08:40:02Z","monotonic_ms":602000,"heard":"{\"words\":\"root planing, open\",\"confidence\":0.95,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":208,\"decision\":{\"treat\":\"root_planing_open\"},\"reason\":\"pocket\",\"challenge\":null}}","hash":"b118e7794eae2335c7cb38e815fea333b92b4e46e8abaaea32f10328d2267aa1"},{"number":431,"at":"2026-11-03T08:40:03.4Z","monotonic_ms":603400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[430]}}","hash":"45ce391b932666a1ad9b9e984fac44497a18da33a3e20e5d2e9907f5e1a53c72"},{"number":432,"at":"2026-11-03T08:40:04.8Z","monotonic_ms":604800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[430]}}","hash":"4693dc6cd16976039755834ea25a8007ed285b9214d12ecb03f7f939f143fe62"},{"number":433,"at":"2026-11-03T08:40:06.2Z","monotonic_ms":606200,"heard":"{\"words\":\"monitor, recheck in 3 months\",\"confidence\":0.95,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":104,\"decision\":{\"monitor\":{\"months\":3}},\"reason\":\"pocket\",\"challenge\":null}}","hash":"4353cff1fcb95bd3c720c8999a3309a62859383c8573d9921e20ea6af47278f2"},{"number":434,"at":"2026-11-03T08:40:07.6Z","monotonic_ms":607600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[433]}}","hash":"4efe84a62dd2d04d95458e20ed17fe29757451f06b0444048d0162057a40d4ee"},{"number":435,"at":"2026-11-03T08:40:09Z","monotonic_ms":609000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[433]}}","hash":"0d902c12009ed907c9d4565422a19d73cde421d299324077df19a709d7ed0da8"},{"number":436,"at":"2026-11-03T08:40:10.4Z","monotonic_ms":610400,"heard":"{\"words\":\"leave\",\"confidence\":0.9,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"challenged\":{\"rule\":\"leave_despite_mobility\",\"question\":\"101 has mobility 1: leave it?\",\"proposed\":{\"decision\":{\"tooth\":101,\"decision\":\"leave\",\"reason\":null}}}}","hash":"b9cfc333d832143b4fe74bc75ba4b9b080297c41c15d4bf59d5671e069b5aed7"},{"number":437,"at":"2026-11-03T08:40:11.8Z","monotonic_ms":611800,"heard":"{\"words\":\"yes\",\"confidence\":0.98,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"challenge_answered\":{\"challenge\":436,\"accepted\":true}}","hash":"0d065f12c9c13557e2c6c401d8a67e5db29d534c704a62bf57df6241d4ea06a8"},{"number":438,"at":"2026-11-03T08:40:13.2Z","monotonic_ms":613200,"heard":null,"supersedes":"[]","event":"{\"decision_recorded\":{\"tooth\":101,\"decision\":\"leave\",\"reason\":null,\"challenge\":436}}","hash":"08808481978ca453b8d2384f13fdd2afe9fc74ca92ac0fe8f99b7a1512cce864"},{"number":439,"at":"2026-11-03T08:40:14.6Z","monotonic_ms":614600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[438]}}","hash":"ebde8a449e91d5ec87ba961d9113e2a55c2063867d066842c262c38c9a284610"},{"number":440,"at":"2026-11-03T08:40:16Z","monotonic_ms":616000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[438]}}","hash":"292d0aeed77a954fc1e1eb809f18195f9940f46d8a802fb440cdcab80204deb2"},{"number":441,"at":"2026-11-03T08:40:17.4Z","monotonic_ms":617400,"heard":"{\"words\":\"nerve block left inferior alveolar: bupivacaine 0.5 %, 0.9 ml\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"nerve_block\":{\"block\":\"inferior_alveolar\",\"side\":\"left\",\"drug\":\"bupivacaine\",\"volume_ml_hundredths\":90,\"strength_percent_hundredths\":50}},\"challenge\":null}}","hash":"e6312c78932379db57f3de213d28d3a3a1d6545fd928aa4fd90a0e6199f9ad4e"},{"number":442,"at":"2026-11-03T08:40:18.8Z","monotonic_ms":618800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[441]}}","hash":"90b286ffd9ad9ec01ec2a250644b9457151a91304934aaa00bc710712bc74e68"},{"number":443,"at":"2026-11-03T08:40:20.2Z","monotonic_ms":620200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[441]}}","hash":"449e311607aa1dd57355bd1cfddfd14d7f2279b2d740573a341ec302300e2fb5"},{"number":444,"at":"2026-11-03T08:40:21.6Z","monotonic_ms":621600,"heard":"{\"words\":\"scaled\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"scaled\",\"challenge\":null}}","hash":"6e9aab21c972427acd6696ff118fe292fe5b21b61657c4c5d5d6e9a51a4dfa01"},{"number":445,"at":"2026-11-03T08:40:23Z","monotonic_ms":623000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[444]}}","hash":"198f375ded4e5dd21a6f483d971918660db86e0c2b1752b36ed69474555c1869"},{"number":446,"at":"2026-11-03T08:40:24.4Z","monotonic_ms":624400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[444]}}","hash":"4cf38e4e002132986a8c8e89bfebebebaee7ccbce43b883122c58bb0f7cde25f"},{"number":447,"at":"2026-11-03T08:40:25.8Z","monotonic_ms":625800,"heard":"{\"words\":\"extracted, surgical\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"extracted\":{\"tooth\":108,\"method\":\"surgical\"}},\"challenge\":null}}","hash":"328d5b5b4474f01c80fb206bd927081f405a719167dcc6083e780a12dcc4da19"},{"number":448,"at":"2026-11-03T08:40:27.2Z","monotonic_ms":627200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[447]}}","hash":"1a86c3e08932e2eb183007818c7bc0734d44945c5b15fa28dfbff8105a4b0571"},{"number":449,"at":"2026-11-03T08:40:28.6Z","monotonic_ms":628600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[447]}}","hash":"5834b95ac9a33fa82167a740c3eb0ceeb34cdfc018ade3cde197f7d8cf2d8792"},{"number":450,"at":"2026-11-03T08:40:30Z","monotonic_ms":630000,"heard":"{\"words\":\"sutured\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"sutured\":{\"tooth\":108}},\"challenge\":null}}","hash":"bbd874189b11e8e091000f893ff9a2d297645cfe2430843907e5fa5244b6e7cc"},{"number":451,"at":"2026-11-03T08:40:31.4Z","monotonic_ms":631400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[450]}}","hash":"e87ce872272c7b54706a015b89821f21d615527aa6d0544c87c488b479c736c2"},{"number":452,"at":"2026-11-03T08:40:32.8Z","monotonic_ms":632800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[450]}}","hash":"cc852f1c12501b336ff746a02b1abdb7e1f2b50b8bd5333cc8369e75f2847b88"},{"number":453,"at":"2026-11-03T08:40:34.2Z","monotonic_ms":634200,"heard":"{\"words\":\"extracted, sectioned\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"extracted\":{\"tooth\":309,\"method\":\"sectioned\"}},\"challenge\":null}}","hash":"d555916f208916dc5644151e801948b9f48293baa627cc514ed1546aa9e47418"},{"number":454,"at":"2026-11-03T08:40:35.6Z","monotonic_ms":635600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[453]}}","hash":"e116f7f14822eff24d7e6375ab60882474016f00bc42766b723a6aed1cc2ef96"},{"number":455,"at":"2026-11-03T08:40:37Z","monotonic_ms":637000,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[453]}}","hash":"66ac600b34353b2237ae9ba39d1fff9234cee751a9619c6d6d846bea2230d7e6"},{"number":456,"at":"2026-11-03T08:40:38.4Z","monotonic_ms":638400,"heard":"{\"words\":\"roots complete, as said\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"roots_complete\":{\"tooth\":309}},\"challenge\":null}}","hash":"9f41b5f04c3227b1b42ecf4b7f9eab00f7c1e206ed819b565477d0b35f74fc43"},{"number":457,"at":"2026-11-03T08:40:39.8Z","monotonic_ms":639800,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[456]}}","hash":"ec82475a5321dc13208cdbccbcf77008d485043beed69aa2fbf9c7514535d78f"},{"number":458,"at":"2026-11-03T08:40:41.2Z","monotonic_ms":641200,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[456]}}","hash":"eca1d5d82d1143128247a5650b3d7cde6ad64e25f4865cd2d8fbda0959880e31"},{"number":459,"at":"2026-11-03T08:40:42.6Z","monotonic_ms":642600,"heard":"{\"words\":\"done: root planing, open\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"treated\":{\"tooth\":208,\"treatment\":\"root_planing_open\"}},\"challenge\":null}}","hash":"bd2b61da6c18db231feffbaa29ff5c6060a7c06ea55cbd97f78fd51c83602a63"},{"number":460,"at":"2026-11-03T08:40:44Z","monotonic_ms":644000,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[459]}}","hash":"ea588220689fa948ae3fd20784ffc7e97eccd3ec2685bfe0f16217f6b9e2ff04"},{"number":461,"at":"2026-11-03T08:40:45.4Z","monotonic_ms":645400,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[459]}}","hash":"841a35f387284f547a5c559b0d17c381c7283cd35e9bc3c97e26883836254526"},{"number":462,"at":"2026-11-03T08:40:46.8Z","monotonic_ms":646800,"heard":"{\"words\":\"polished\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"polished\",\"challenge\":null}}","hash":"514f3051067779b1d33827a035ca614e68339945fc6d682166300af7cbcb3f6f"},{"number":463,"at":"2026-11-03T08:40:48.2Z","monotonic_ms":648200,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[462]}}","hash":"e04fc99f91c336a002b77a5ad03d612167cb3edd46539ab2072007b47560af0e"},{"number":464,"at":"2026-11-03T08:40:49.6Z","monotonic_ms":649600,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[462]}}","hash":"ff267efaf62f273f0b10ae5f74e26e96f6c61581a9ff7a98f8abac75b66ca339"},{"number":465,"at":"2026-11-03T08:40:51Z","monotonic_ms":651000,"heard":"{\"words\":\"film wanted: 104\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":{\"film_wanted\":{\"teeth\":[104]}},\"challenge\":null}}","hash":"65e2db6008da9573728ca4a9bf390417bf9f77aeca64596688491030343ed2a5"},{"number":466,"at":"2026-11-03T08:40:52.4Z","monotonic_ms":652400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[465]}}","hash":"f903a8a8a48749ef6771c8075332ee666457a1abf456061acb0a1747a413b892"},{"number":467,"at":"2026-11-03T08:40:53.8Z","monotonic_ms":653800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[465]}}","hash":"4843f80af91e52c18ff53e3e6a669cdecda1da66fb905cb3805141ac10c84b7c"},{"number":468,"at":"2026-11-03T08:40:55.2Z","monotonic_ms":655200,"heard":null,"supersedes":"[]","event":"{\"note_recorded\":{\"tooth\":208,\"text\":\"owner is to brush here daily\",\"sound\":null}}","hash":"43fdf30a95eb4d980559a9f53c94b83e695320e3ea7979a6582aa7f521871cd4"},{"number":469,"at":"2026-11-03T08:40:56.6Z","monotonic_ms":656600,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[468]}}","hash":"778c24bfc08d948195de1e93dcf37146f9a472cce84d1b31371d62e667d77098"},{"number":470,"at":"2026-11-03T08:40:58Z","monotonic_ms":658000,"heard":"{\"words\":\"anaesthesia ended\",\"confidence\":0.96,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"procedure_recorded\":{\"procedure\":\"anaesthesia_ended\",\"challenge\":null}}","hash":"4c702e5858eacfb8f2bbc53c03716925f57e724d2bdb480e7d6df163db4be5f7"},{"number":471,"at":"2026-11-03T08:40:59.4Z","monotonic_ms":659400,"heard":null,"supersedes":"[]","event":"{\"read_back\":{\"entries\":[470]}}","hash":"6cfcea0b3592d833b92ac956df46aa046555d3d7640766b902d027ee394f0152"},{"number":472,"at":"2026-11-03T08:41:00.8Z","monotonic_ms":660800,"heard":"{\"words\":\"yes\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"{\"confirmed\":{\"entries\":[470]}}","hash":"bbe8c21f23c17e6be356a4bbd53f4bae1842d6ce1fd671581fc4cb7dbbb207f6"},{"number":473,"at":"2026-11-03T08:41:02.2Z","monotonic_ms":662200,"heard":"{\"words\":\"finish\",\"confidence\":0.97,\"engine\":\"invented\",\"model\":\"none\",\"speaker\":\"vet\",\"how\":\"spoken\"}","supersedes":"[]","event":"\"visit_finished\"","hash":"2bb3124aaf02a100aeb9f5a999d9f4a577ec3ee13b0167783a2fd4a2b471b0ce"},{"number":474,"at":"2026-11-03T08:41:03.6Z","monotonic_ms":663600,"heard":null,"supersedes":"[]","event":"{\"addendum_written\":{\"text\":\"Recovery without trouble.\"}}","hash":"8d9002b84b28b92ecde3f9dfa9b61de1b391535f5cba6a85a9eab0034efb9bf8"}]', '2026-11-27 03:42:34.908407+00');


--
-- Data for Name: tombstone; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--



--
-- Data for Name: version; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.version VALUES (1, 'begin', '0.1.0', '2026-11-27 03:42:32.306738+00');


--
-- Data for Name: visit; Type: TABLE DATA; Schema: sulcus; Owner: keeper
--

INSERT INTO sulcus.visit VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'ca710000-0000-4000-8000-0000000000c1', 'f87699e0-506f-447e-988f-34956149b78f', 'cc6b3fef-ffad-4857-af9b-2590137c9300', '{"id":"DEMO-C1","name":"Pixel","species":"cat","breed":"domestic shorthair","sex":"male_neutered","born":"2015","weight":4750,"owner":"Demo Owner Two","invented":true}', 'finished', '2026-05-05 09:00:01.4+00', '2026-05-05 09:04:41.4+00', 201, '943d6f304e33f272ec4c79234f1934cd1bfeccbcb0b0fdf6c1fbba65624e2df8', 127, 126, 0, true, '2026-11-27 03:42:34.852037+00', '2026-11-27 03:42:34.852037+00');
INSERT INTO sulcus.visit VALUES ('76960e09-98a8-422d-a617-55350782bdb1', 'd06a0000-0000-4000-8000-0000000000d1', 'f87699e0-506f-447e-988f-34956149b78f', '332a668f-1bd6-4bac-9944-948eae0514e9', '{"id":"DEMO-D1","name":"Biscuit","species":"dog","breed":"mixed breed","sex":"female_neutered","born":"2017-04","weight":18400,"owner":"Demo Owner One","invented":true}', 'finished', '2026-11-03 08:30:01.4+00', '2026-11-03 08:41:02.2+00', 474, '8d9002b84b28b92ecde3f9dfa9b61de1b391535f5cba6a85a9eab0034efb9bf8', 276, 274, 0, true, '2026-11-27 03:42:34.908407+00', '2026-11-27 03:42:34.908407+00');


--
-- Name: access_id_seq; Type: SEQUENCE SET; Schema: sulcus; Owner: keeper
--

SELECT pg_catalog.setval('sulcus.access_id_seq', 3, true);


--
-- Name: refused_id_seq; Type: SEQUENCE SET; Schema: sulcus; Owner: keeper
--

SELECT pg_catalog.setval('sulcus.refused_id_seq', 1, false);


--
-- Name: access access_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.access
    ADD CONSTRAINT access_pkey PRIMARY KEY (id);


--
-- Name: account account_code_hash_key; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.account
    ADD CONSTRAINT account_code_hash_key UNIQUE (code_hash);


--
-- Name: account account_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.account
    ADD CONSTRAINT account_pkey PRIMARY KEY (id);


--
-- Name: account account_secret_hash_key; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.account
    ADD CONSTRAINT account_secret_hash_key UNIQUE (secret_hash);


--
-- Name: clinic clinic_name_key; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.clinic
    ADD CONSTRAINT clinic_name_key UNIQUE (name);


--
-- Name: clinic clinic_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.clinic
    ADD CONSTRAINT clinic_pkey PRIMARY KEY (id);


--
-- Name: patient patient_clinic_id_key; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.patient
    ADD CONSTRAINT patient_clinic_id_key UNIQUE (clinic, id);


--
-- Name: patient patient_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.patient
    ADD CONSTRAINT patient_pkey PRIMARY KEY (id);


--
-- Name: recheck recheck_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.recheck
    ADD CONSTRAINT recheck_pkey PRIMARY KEY (clinic, visit, number);


--
-- Name: refused refused_clinic_digest_key; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.refused
    ADD CONSTRAINT refused_clinic_digest_key UNIQUE (clinic, digest);


--
-- Name: refused refused_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.refused
    ADD CONSTRAINT refused_pkey PRIMARY KEY (id);


--
-- Name: role_right role_right_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.role_right
    ADD CONSTRAINT role_right_pkey PRIMARY KEY (role, what);


--
-- Name: seal seal_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.seal
    ADD CONSTRAINT seal_pkey PRIMARY KEY (clinic, visit, number, occasion, key, signature);


--
-- Name: session session_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.session
    ADD CONSTRAINT session_pkey PRIMARY KEY (secret_hash);


--
-- Name: stretch stretch_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.stretch
    ADD CONSTRAINT stretch_pkey PRIMARY KEY (clinic, visit, first);


--
-- Name: tombstone tombstone_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.tombstone
    ADD CONSTRAINT tombstone_pkey PRIMARY KEY (clinic, visit);


--
-- Name: version version_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.version
    ADD CONSTRAINT version_pkey PRIMARY KEY (number);


--
-- Name: visit visit_pkey; Type: CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.visit
    ADD CONSTRAINT visit_pkey PRIMARY KEY (clinic, id);


--
-- Name: access_by_time; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE INDEX access_by_time ON sulcus.access USING btree (clinic, at);


--
-- Name: account_by_name; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE UNIQUE INDEX account_by_name ON sulcus.account USING btree (clinic, name) WHERE (ended_at IS NULL);


--
-- Name: patient_by_identifier; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE UNIQUE INDEX patient_by_identifier ON sulcus.patient USING btree (clinic, species, lower(name), lower(identifier)) WHERE (identifier IS NOT NULL);


--
-- Name: patient_by_name; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE INDEX patient_by_name ON sulcus.patient USING btree (clinic, species, lower(name));


--
-- Name: recheck_by_day; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE INDEX recheck_by_day ON sulcus.recheck USING btree (clinic, until_day);


--
-- Name: visit_by_patient; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE INDEX visit_by_patient ON sulcus.visit USING btree (clinic, patient, opened_at);


--
-- Name: visit_by_time; Type: INDEX; Schema: sulcus; Owner: keeper
--

CREATE INDEX visit_by_time ON sulcus.visit USING btree (clinic, opened_at);


--
-- Name: access access_is_never_changed; Type: TRIGGER; Schema: sulcus; Owner: keeper
--

CREATE TRIGGER access_is_never_changed BEFORE DELETE OR UPDATE ON sulcus.access FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();


--
-- Name: seal seal_is_never_changed; Type: TRIGGER; Schema: sulcus; Owner: keeper
--

CREATE TRIGGER seal_is_never_changed BEFORE UPDATE ON sulcus.seal FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();


--
-- Name: stretch stretch_goes_with_its_visit; Type: TRIGGER; Schema: sulcus; Owner: keeper
--

CREATE TRIGGER stretch_goes_with_its_visit BEFORE DELETE ON sulcus.stretch FOR EACH ROW EXECUTE FUNCTION sulcus.needs_tombstone();


--
-- Name: stretch stretch_is_never_changed; Type: TRIGGER; Schema: sulcus; Owner: keeper
--

CREATE TRIGGER stretch_is_never_changed BEFORE UPDATE ON sulcus.stretch FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();


--
-- Name: tombstone tombstone_is_never_changed; Type: TRIGGER; Schema: sulcus; Owner: keeper
--

CREATE TRIGGER tombstone_is_never_changed BEFORE DELETE OR UPDATE ON sulcus.tombstone FOR EACH ROW EXECUTE FUNCTION sulcus.only_grows();


--
-- Name: visit visit_is_never_reborn; Type: TRIGGER; Schema: sulcus; Owner: keeper
--

CREATE TRIGGER visit_is_never_reborn BEFORE INSERT ON sulcus.visit FOR EACH ROW EXECUTE FUNCTION sulcus.is_not_forgotten();


--
-- Name: access access_clinic_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.access
    ADD CONSTRAINT access_clinic_fkey FOREIGN KEY (clinic) REFERENCES sulcus.clinic(id);


--
-- Name: account account_clinic_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.account
    ADD CONSTRAINT account_clinic_fkey FOREIGN KEY (clinic) REFERENCES sulcus.clinic(id);


--
-- Name: patient patient_clinic_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.patient
    ADD CONSTRAINT patient_clinic_fkey FOREIGN KEY (clinic) REFERENCES sulcus.clinic(id);


--
-- Name: recheck recheck_clinic_visit_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.recheck
    ADD CONSTRAINT recheck_clinic_visit_fkey FOREIGN KEY (clinic, visit) REFERENCES sulcus.visit(clinic, id);


--
-- Name: refused refused_account_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.refused
    ADD CONSTRAINT refused_account_fkey FOREIGN KEY (account) REFERENCES sulcus.account(id);


--
-- Name: refused refused_clinic_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.refused
    ADD CONSTRAINT refused_clinic_fkey FOREIGN KEY (clinic) REFERENCES sulcus.clinic(id);


--
-- Name: seal seal_clinic_visit_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.seal
    ADD CONSTRAINT seal_clinic_visit_fkey FOREIGN KEY (clinic, visit) REFERENCES sulcus.visit(clinic, id);


--
-- Name: session session_account_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.session
    ADD CONSTRAINT session_account_fkey FOREIGN KEY (account) REFERENCES sulcus.account(id);


--
-- Name: stretch stretch_clinic_visit_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.stretch
    ADD CONSTRAINT stretch_clinic_visit_fkey FOREIGN KEY (clinic, visit) REFERENCES sulcus.visit(clinic, id);


--
-- Name: tombstone tombstone_clinic_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.tombstone
    ADD CONSTRAINT tombstone_clinic_fkey FOREIGN KEY (clinic) REFERENCES sulcus.clinic(id);


--
-- Name: visit visit_clinic_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.visit
    ADD CONSTRAINT visit_clinic_fkey FOREIGN KEY (clinic) REFERENCES sulcus.clinic(id);


--
-- Name: visit visit_clinic_patient_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.visit
    ADD CONSTRAINT visit_clinic_patient_fkey FOREIGN KEY (clinic, patient) REFERENCES sulcus.patient(clinic, id);


--
-- Name: visit visit_delivered_by_fkey; Type: FK CONSTRAINT; Schema: sulcus; Owner: keeper
--

ALTER TABLE ONLY sulcus.visit
    ADD CONSTRAINT visit_delivered_by_fkey FOREIGN KEY (delivered_by) REFERENCES sulcus.account(id);


--
-- Name: access; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.access ENABLE ROW LEVEL SECURITY;

--
-- Name: account; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.account ENABLE ROW LEVEL SECURITY;

--
-- Name: refused again; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY again ON sulcus.refused FOR UPDATE USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: clinic; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.clinic ENABLE ROW LEVEL SECURITY;

--
-- Name: patient delivers; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY delivers ON sulcus.patient FOR INSERT WITH CHECK (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: recheck delivers; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY delivers ON sulcus.recheck FOR INSERT WITH CHECK (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: refused delivers; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY delivers ON sulcus.refused FOR INSERT WITH CHECK (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: seal delivers; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY delivers ON sulcus.seal FOR INSERT WITH CHECK (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: stretch delivers; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY delivers ON sulcus.stretch FOR INSERT WITH CHECK (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: visit delivers; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY delivers ON sulcus.visit FOR INSERT WITH CHECK (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: visit grows; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY grows ON sulcus.visit FOR UPDATE USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: recheck made_again; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY made_again ON sulcus.recheck FOR DELETE USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('deliver'::text) AS may)));


--
-- Name: account own; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY own ON sulcus.account FOR SELECT USING ((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)));


--
-- Name: clinic own; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY own ON sulcus.clinic FOR SELECT USING ((id = ( SELECT sulcus.clinic_id() AS clinic_id)));


--
-- Name: refused own; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY own ON sulcus.refused FOR SELECT USING ((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)));


--
-- Name: tombstone own; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY own ON sulcus.tombstone FOR SELECT USING ((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)));


--
-- Name: patient; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.patient ENABLE ROW LEVEL SECURITY;

--
-- Name: access reads; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY reads ON sulcus.access FOR SELECT USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('log'::text) AS may)));


--
-- Name: patient reads; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY reads ON sulcus.patient FOR SELECT USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('read'::text) AS may)));


--
-- Name: recheck reads; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY reads ON sulcus.recheck FOR SELECT USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('read'::text) AS may)));


--
-- Name: seal reads; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY reads ON sulcus.seal FOR SELECT USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND ( SELECT sulcus.may('read'::text) AS may)));


--
-- Name: stretch reads; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY reads ON sulcus.stretch FOR SELECT USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND (( SELECT sulcus.may('read'::text) AS may) OR ( SELECT sulcus.may('study'::text) AS may))));


--
-- Name: visit reads; Type: POLICY; Schema: sulcus; Owner: keeper
--

CREATE POLICY reads ON sulcus.visit FOR SELECT USING (((clinic = ( SELECT sulcus.clinic_id() AS clinic_id)) AND (( SELECT sulcus.may('read'::text) AS may) OR ( SELECT sulcus.may('study'::text) AS may))));


--
-- Name: recheck; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.recheck ENABLE ROW LEVEL SECURITY;

--
-- Name: refused; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.refused ENABLE ROW LEVEL SECURITY;

--
-- Name: seal; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.seal ENABLE ROW LEVEL SECURITY;

--
-- Name: session; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.session ENABLE ROW LEVEL SECURITY;

--
-- Name: stretch; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.stretch ENABLE ROW LEVEL SECURITY;

--
-- Name: tombstone; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.tombstone ENABLE ROW LEVEL SECURITY;

--
-- Name: visit; Type: ROW SECURITY; Schema: sulcus; Owner: keeper
--

ALTER TABLE sulcus.visit ENABLE ROW LEVEL SECURITY;

--
-- Name: SCHEMA sulcus; Type: ACL; Schema: -; Owner: keeper
--

GRANT USAGE ON SCHEMA sulcus TO sulcus_server;


--
-- Name: FUNCTION account_id(); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.account_id() FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.account_id() TO sulcus_server;


--
-- Name: FUNCTION apply_retention(); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.apply_retention() FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.apply_retention() TO sulcus_server;


--
-- Name: FUNCTION bury(of_clinic uuid, gone uuid, why text); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.bury(of_clinic uuid, gone uuid, why text) FROM PUBLIC;


--
-- Name: FUNCTION clinic_id(); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.clinic_id() FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.clinic_id() TO sulcus_server;


--
-- Name: FUNCTION close_session(session_hash bytea); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.close_session(session_hash bytea) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.close_session(session_hash bytea) TO sulcus_server;


--
-- Name: FUNCTION forget(gone uuid, why text); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.forget(gone uuid, why text) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.forget(gone uuid, why text) TO sulcus_server;


--
-- Name: FUNCTION is_not_forgotten(); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.is_not_forgotten() FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.is_not_forgotten() TO sulcus_server;


--
-- Name: FUNCTION join_table(code text, secret_hash bytea, signing_key text); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.join_table(code text, secret_hash bytea, signing_key text) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.join_table(code text, secret_hash bytea, signing_key text) TO sulcus_server;


--
-- Name: FUNCTION may(wanted text); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.may(wanted text) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.may(wanted text) TO sulcus_server;


--
-- Name: FUNCTION needs_tombstone(); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.needs_tombstone() FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.needs_tombstone() TO sulcus_server;


--
-- Name: FUNCTION note(action text, visit uuid, patient uuid, detail text); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.note(action text, visit uuid, patient uuid, detail text) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.note(action text, visit uuid, patient uuid, detail text) TO sulcus_server;


--
-- Name: FUNCTION only_grows(); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.only_grows() FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.only_grows() TO sulcus_server;


--
-- Name: FUNCTION open_session(session_hash bytea, hours integer); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.open_session(session_hash bytea, hours integer) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.open_session(session_hash bytea, hours integer) TO sulcus_server;


--
-- Name: FUNCTION was_seen(ahead bigint); Type: ACL; Schema: sulcus; Owner: keeper
--

REVOKE ALL ON FUNCTION sulcus.was_seen(ahead bigint) FROM PUBLIC;
GRANT ALL ON FUNCTION sulcus.was_seen(ahead bigint) TO sulcus_server;


--
-- Name: TABLE access; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT ON TABLE sulcus.access TO sulcus_server;


--
-- Name: COLUMN account.id; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(id) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.clinic; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(clinic) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.name; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(name) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.role; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(role) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.signing_key; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(signing_key) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.created_at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(created_at) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.ended_at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(ended_at) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.seen_at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(seen_at) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: COLUMN account.clock_ahead_s; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT(clock_ahead_s) ON TABLE sulcus.account TO sulcus_server;


--
-- Name: TABLE clinic; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT ON TABLE sulcus.clinic TO sulcus_server;


--
-- Name: TABLE patient; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT,INSERT ON TABLE sulcus.patient TO sulcus_server;


--
-- Name: TABLE recheck; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT,INSERT,DELETE ON TABLE sulcus.recheck TO sulcus_server;


--
-- Name: TABLE refused; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT,INSERT ON TABLE sulcus.refused TO sulcus_server;


--
-- Name: COLUMN refused.at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(at) ON TABLE sulcus.refused TO sulcus_server;


--
-- Name: COLUMN refused.times; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(times) ON TABLE sulcus.refused TO sulcus_server;


--
-- Name: TABLE role_right; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT ON TABLE sulcus.role_right TO sulcus_server;


--
-- Name: TABLE seal; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT,INSERT ON TABLE sulcus.seal TO sulcus_server;


--
-- Name: TABLE stretch; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT,INSERT ON TABLE sulcus.stretch TO sulcus_server;


--
-- Name: TABLE tombstone; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT ON TABLE sulcus.tombstone TO sulcus_server;


--
-- Name: TABLE version; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT ON TABLE sulcus.version TO sulcus_server;


--
-- Name: TABLE visit; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT SELECT,INSERT ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.patient; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(patient) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.as_recorded; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(as_recorded) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.state; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(state) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.opened_at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(opened_at) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.finished_at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(finished_at) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.entry_count; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(entry_count) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.head_hash; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(head_hash) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.value_count; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(value_count) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.confirmed_count; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(confirmed_count) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.lost_count; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(lost_count) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.is_invented; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(is_invented) ON TABLE sulcus.visit TO sulcus_server;


--
-- Name: COLUMN visit.changed_at; Type: ACL; Schema: sulcus; Owner: keeper
--

GRANT UPDATE(changed_at) ON TABLE sulcus.visit TO sulcus_server;


--
-- PostgreSQL database dump complete
--


