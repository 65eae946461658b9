-- The transponder's number is an identifier of its own, and a result that a laboratory owes stays listed until it is
-- read, also where the animal was here again.

ALTER TABLE sulcus.patient ADD COLUMN microchip text;
-- Two animals that a slip gave one number are told apart by their transponders.
DROP INDEX sulcus.patient_by_identifier;
CREATE UNIQUE INDEX patient_by_identifier
    ON sulcus.patient (clinic, species, lower(name), lower(identifier), coalesce(microchip, ''))
    WHERE identifier IS NOT NULL;
CREATE UNIQUE INDEX patient_by_microchip ON sulcus.patient (clinic, species, lower(name), microchip)
    WHERE microchip IS NOT NULL;
CREATE INDEX patient_by_chip_alone ON sulcus.patient (clinic, microchip) WHERE microchip IS NOT NULL;

ALTER TABLE sulcus.recheck ADD COLUMN is_result boolean NOT NULL DEFAULT false;

-- A transponder that was not known yet is learnt; nothing else of an animal is changed by a delivery.
CREATE POLICY learns ON sulcus.patient FOR UPDATE
    USING (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')))
    WITH CHECK (clinic = (SELECT sulcus.clinic_id()) AND (SELECT sulcus.may('deliver')));
GRANT UPDATE (microchip, search) ON sulcus.patient TO sulcus_server;
