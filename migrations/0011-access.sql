-- A passkey is asked for with a random challenge that is good once, for one purpose.
create table sign_in_challenge (
  clinic_id uuid not null references clinic,
  challenge_hash bytea not null,
  purpose text not null check (purpose in ('sign in', 'confirm', 'add passkey')),
  staff_id uuid,
  expires_at timestamptz not null,
  primary key (clinic_id, challenge_hash)
);
create index sign_in_challenge_old on sign_in_challenge (clinic_id, expires_at);
alter table sign_in_challenge enable row level security;
alter table sign_in_challenge force row level security;
create policy clinic_only on sign_in_challenge using (clinic_id = app_clinic()) with check (clinic_id = app_clinic());
grant select, insert, update, delete on sign_in_challenge to foreaft_service;

alter table session drop column challenge;
-- The kind of browser, in coarse words, so that a person knows their own sessions apart.
alter table session add column device text not null default '';

-- Set where the link gives a known person a new way in.
alter table invitation add column staff_id uuid;
