-- Which patients are one animal: said by a person, and unsaid again. Nothing is moved; visits stay with the patient as
-- they were recorded, and the animal is all patients that were said to be one.

CREATE TABLE sulcus.merge (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    clinic uuid NOT NULL,
    patient uuid NOT NULL,
    into_patient uuid NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    by_account uuid NOT NULL REFERENCES sulcus.account (id),
    reason text NOT NULL CHECK (reason <> ''),
    undone_at timestamptz,
    undone_by uuid REFERENCES sulcus.account (id),
    CHECK (patient <> into_patient),
    FOREIGN KEY (clinic, patient) REFERENCES sulcus.patient (clinic, id),
    FOREIGN KEY (clinic, into_patient) REFERENCES sulcus.patient (clinic, id)
);
-- A patient is merged into one other at a time.
CREATE UNIQUE INDEX merge_once ON sulcus.merge (clinic, patient) WHERE undone_at IS NULL;
CREATE INDEX merge_by_target ON sulcus.merge (clinic, into_patient) WHERE undone_at IS NULL;

-- Where the merges of a patient lead to: itself, where there is none.
CREATE FUNCTION sulcus.root(of_patient uuid) RETURNS uuid
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    WITH RECURSIVE up (id, step) AS (
        SELECT of_patient, 0
        UNION ALL
        SELECT m.into_patient, up.step + 1 FROM up JOIN sulcus.merge m ON m.patient = up.id
            WHERE m.clinic = sulcus.clinic_id() AND m.undone_at IS NULL AND up.step < 1000
    )
    SELECT id FROM up ORDER BY step DESC LIMIT 1
$$;

-- All patients that are the same animal as this one, itself among them.
CREATE FUNCTION sulcus.same_animal(of_patient uuid) RETURNS SETOF uuid
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
    WITH RECURSIVE down (id) AS (
        SELECT sulcus.root(of_patient)
        UNION
        SELECT m.patient FROM down JOIN sulcus.merge m ON m.into_patient = down.id
            WHERE m.clinic = sulcus.clinic_id() AND m.undone_at IS NULL
    )
    SELECT id FROM down
$$;

-- Says that two patients are one animal.
CREATE FUNCTION sulcus.merge_patients(one uuid, other uuid, why text) RETURNS bigint
    LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    here uuid := sulcus.clinic_id();
    from_root uuid;
    to_root uuid;
    made bigint;
BEGIN
    IF NOT sulcus.may('merge') THEN
        RAISE EXCEPTION 'this role may not say which patients are one' USING ERRCODE = '42501';
    END IF;
    -- One at a time in a clinic, so that no ring can be closed by two at once.
    PERFORM pg_advisory_xact_lock(hashtextextended(here::text, 2));
    IF (SELECT count(*) FROM sulcus.patient p WHERE p.clinic = here AND p.id IN (one, other)) <> 2 THEN
        RAISE EXCEPTION 'there are no two such patients' USING ERRCODE = '42501';
    END IF;
    IF (SELECT count(DISTINCT p.species) FROM sulcus.patient p WHERE p.clinic = here AND p.id IN (one, other)) <> 1 THEN
        RAISE EXCEPTION 'a dog and a cat are not one animal' USING ERRCODE = '42501';
    END IF;
    from_root := sulcus.root(one);
    to_root := sulcus.root(other);
    IF from_root = to_root THEN
        RAISE EXCEPTION 'the two are one animal already' USING ERRCODE = '42501';
    END IF;
    INSERT INTO sulcus.merge (clinic, patient, into_patient, by_account, reason)
        VALUES (here, from_root, to_root, sulcus.account_id(), why) RETURNING id INTO made;
    PERFORM sulcus.note('merge', NULL, from_root, format('into %s: %s', to_root, why));
    RETURN made;
END $$;

-- Unsays it: what was merged before and after stays.
CREATE FUNCTION sulcus.unmerge_patients(wrong bigint, why text) RETURNS boolean
    LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE undone sulcus.merge;
BEGIN
    IF NOT sulcus.may('merge') THEN
        RAISE EXCEPTION 'this role may not say which patients are one' USING ERRCODE = '42501';
    END IF;
    UPDATE sulcus.merge m SET undone_at = now(), undone_by = sulcus.account_id()
        WHERE m.clinic = sulcus.clinic_id() AND m.id = wrong AND m.undone_at IS NULL RETURNING * INTO undone;
    IF undone.id IS NULL THEN
        RETURN false;
    END IF;
    PERFORM sulcus.note('unmerge', NULL, undone.patient, format('from %s: %s', undone.into_patient, why));
    RETURN true;
END $$;

ALTER TABLE sulcus.merge ENABLE ROW LEVEL SECURITY;
CREATE POLICY reads ON sulcus.merge FOR SELECT
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('read')));
GRANT SELECT ON sulcus.merge TO sulcus_server;
REVOKE EXECUTE ON FUNCTION sulcus.root(uuid), sulcus.same_animal(uuid), sulcus.merge_patients(uuid, uuid, text),
    sulcus.unmerge_patients(bigint, text) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION sulcus.root(uuid), sulcus.same_animal(uuid), sulcus.merge_patients(uuid, uuid, text),
    sulcus.unmerge_patients(bigint, text) TO sulcus_server;
