-- Every table's key starts with clinic_id; every table has forced row-level security (see the end).
-- Columns named *_sealed hold AES-256-GCM ciphertext; *_blind hold keyed hashes for look-up.

create function app_clinic() returns uuid language sql stable as
  $$ select nullif(current_setting('app.clinic', true), '')::uuid $$;

-- The only table that a connection without a clinic may read: no personal data, just who is here.
create table clinic_directory (
  clinic_id uuid primary key default uuidv7(),
  slug text not null unique check (slug ~ '^[a-z0-9]+(-[a-z0-9]+)*$'),
  created_at timestamptz not null
);

create table clinic (
  clinic_id uuid primary key references clinic_directory,
  name text not null,
  zone text not null,
  settings jsonb not null,
  demo boolean not null default false,
  created_at timestamptz not null
);

create table data_key (
  clinic_id uuid not null references clinic,
  key_id int not null,
  master_id text not null,
  wrapped bytea not null,
  created_at timestamptz not null,
  retired_at timestamptz,
  primary key (clinic_id, key_id)
);

create table staff (
  clinic_id uuid not null references clinic,
  staff_id uuid not null default uuidv7(),
  name_sealed bytea not null,
  email_sealed bytea not null,
  email_blind bytea not null,
  mobile_sealed bytea,
  role text not null check (role in ('clinician', 'reception', 'owner')),
  registration text,
  escalation_order int,
  password_hash text,
  totp_sealed bytea,
  totp_last_step bigint,
  created_at timestamptz not null,
  left_at timestamptz,
  primary key (clinic_id, staff_id),
  unique (clinic_id, email_blind)
);

create table passkey (
  clinic_id uuid not null,
  credential_id text not null,
  staff_id uuid not null,
  public_key bytea not null,
  counter bigint not null,
  transports jsonb not null default '[]',
  label text not null,
  created_at timestamptz not null,
  used_at timestamptz,
  primary key (clinic_id, credential_id),
  foreign key (clinic_id, staff_id) references staff on delete cascade
);

create table recovery_code (
  clinic_id uuid not null,
  staff_id uuid not null,
  code_hash bytea not null,
  used_at timestamptz,
  primary key (clinic_id, staff_id, code_hash),
  foreign key (clinic_id, staff_id) references staff on delete cascade
);

create table invitation (
  clinic_id uuid not null references clinic,
  token_hash bytea not null,
  email_sealed bytea not null,
  name_sealed bytea not null,
  role text not null check (role in ('clinician', 'reception', 'owner')),
  invited_by uuid,
  created_at timestamptz not null,
  expires_at timestamptz not null,
  used_at timestamptz,
  primary key (clinic_id, token_hash)
);

create table session (
  clinic_id uuid not null,
  session_hash bytea not null,
  staff_id uuid not null,
  created_at timestamptz not null,
  seen_at timestamptz not null,
  expires_at timestamptz not null,
  reauth_at timestamptz,
  revoked_at timestamptz,
  challenge text,
  primary key (clinic_id, session_hash),
  foreign key (clinic_id, staff_id) references staff on delete cascade
);

create table rate_limit (
  clinic_id uuid not null references clinic,
  subject bytea not null,
  window_start timestamptz not null,
  hits int not null,
  blocked_until timestamptz,
  primary key (clinic_id, subject)
);

create table protocol (
  clinic_id uuid not null references clinic,
  version int not null,
  document jsonb not null,
  note text not null,
  created_at timestamptz not null,
  created_by uuid,
  signed_at timestamptz,
  signed_by uuid,
  signed_name text,
  signed_registration text,
  primary key (clinic_id, version)
);

create table practitioner (
  clinic_id uuid not null references clinic,
  practitioner_id uuid not null default uuidv7(),
  name text not null,
  staff_id uuid,
  primary key (clinic_id, practitioner_id),
  unique (clinic_id, name)
);

create table patient (
  clinic_id uuid not null references clinic,
  patient_id uuid not null default uuidv7(),
  identity_blind bytea not null,
  name_sealed bytea not null,
  mobile_sealed bytea,
  mobile_blind bytea,
  email_sealed bytea,
  email_blind bytea,
  birth_date_sealed bytea,
  language text not null default 'en',
  risks_sealed bytea,
  stopped_at timestamptz,
  number_wrong_at timestamptz,
  consent jsonb,
  created_at timestamptz not null,
  updated_at timestamptz not null,
  primary key (clinic_id, patient_id),
  unique (clinic_id, identity_blind)
);
create index patient_mobile on patient (clinic_id, mobile_blind);
create index patient_email on patient (clinic_id, email_blind);

create table visit (
  clinic_id uuid not null,
  visit_id uuid not null default uuidv7(),
  reference text not null,
  patient_id uuid not null,
  practitioner_id uuid not null,
  start_at timestamptz not null,
  minutes int not null check (minutes between 5 and 240),
  purpose text not null check (purpose in ('assessment', 'removal', 'recheck')),
  ears text not null check (ears in ('left', 'right', 'both')),
  room text,
  status text not null check (status in ('booked', 'cancelled', 'done', 'missed')),
  urgent boolean not null default false,
  in_pain boolean not null default false,
  recurrent boolean not null default false,
  moved_count int not null default 0,
  version int not null default 1,
  booked_at timestamptz not null,
  updated_at timestamptz not null,
  primary key (clinic_id, visit_id),
  unique (clinic_id, reference),
  foreign key (clinic_id, patient_id) references patient on delete cascade,
  foreign key (clinic_id, practitioner_id) references practitioner
);
create index visit_start on visit (clinic_id, start_at);
create index visit_patient on visit (clinic_id, patient_id);

create table screening (
  clinic_id uuid not null,
  visit_id uuid not null,
  patient_id uuid not null,
  status text not null check (status in ('asked', 'asked-again', 'answered', 'to-person', 'overdue', 'cancelled')),
  asked_at timestamptz not null,
  deadline_at timestamptz not null,
  answers_sealed bytea,
  outcome_sealed bytea,
  decided_at timestamptz,
  primary key (clinic_id, visit_id),
  foreign key (clinic_id, visit_id) references visit on delete cascade
);
create index screening_due on screening (clinic_id, deadline_at) where status in ('asked', 'asked-again');

create table plan (
  clinic_id uuid not null,
  plan_id uuid not null default uuidv7(),
  visit_id uuid not null,
  patient_id uuid not null,
  status text not null check (status in ('active', 'withheld', 'replaced', 'cancelled', 'done')),
  agent text not null,
  detail jsonb not null,
  first_day date,
  last_day date,
  readiness double precision,
  readiness_detail jsonb,
  readiness_at timestamptz,
  created_at timestamptz not null,
  primary key (clinic_id, plan_id),
  foreign key (clinic_id, visit_id) references visit on delete cascade
);
create unique index plan_current on plan (clinic_id, visit_id) where status in ('active', 'withheld');

-- What the clinic's own history taught: the adherence model and the link from doses to softness.
create table clinic_model (
  clinic_id uuid primary key references clinic,
  adherence jsonb not null,
  link jsonb not null,
  fitted_at timestamptz not null
);

create table question (
  clinic_id uuid not null,
  question_id uuid not null default uuidv7(),
  patient_id uuid not null,
  kind text not null check (kind in ('screening', 'dose', 'softened', 'check', 'move', 'recall')),
  visit_id uuid,
  plan_id uuid,
  check_id uuid,
  move_id uuid,
  day date,
  detail jsonb not null default '{}',
  asked_at timestamptz not null,
  closes_at timestamptz not null,
  answered_at timestamptz,
  withdrawn_at timestamptz,
  primary key (clinic_id, question_id),
  foreign key (clinic_id, patient_id) references patient on delete cascade
);
create index question_open on question (clinic_id, patient_id, asked_at) where answered_at is null and withdrawn_at is null;

create table message (
  clinic_id uuid not null,
  message_id uuid not null default uuidv7(),
  dedupe text not null,
  patient_id uuid,
  staff_id uuid,
  visit_id uuid,
  plan_id uuid,
  question_id uuid,
  concern_id uuid,
  kind text not null,
  day date,
  channel text not null check (channel in ('text', 'email')),
  to_sealed bytea not null,
  body_sealed bytea not null,
  segments int not null,
  advises_drops boolean not null default false,
  urgent boolean not null default false,
  due_at timestamptz not null,
  expires_at timestamptz not null,
  status text not null default 'queued'
    check (status in ('queued', 'sending', 'sent', 'delivered', 'failed', 'cancelled', 'expired')),
  transport text,
  attempts int not null default 0,
  lease_until timestamptz,
  provider_ref text,
  last_error text,
  sent_at timestamptz,
  created_at timestamptz not null,
  primary key (clinic_id, message_id),
  unique (clinic_id, dedupe)
);
create index message_due on message (clinic_id, due_at) where status = 'queued';
create index message_leased on message (clinic_id, lease_until) where status = 'sending';
create index message_patient on message (clinic_id, patient_id, created_at);
create index message_plan on message (clinic_id, plan_id) where plan_id is not null;

create table link (
  clinic_id uuid not null,
  link_hash bytea not null,
  patient_id uuid not null,
  question_id uuid,
  purpose text not null check (purpose in ('question', 'visit', 'stop')),
  contact_blind bytea,
  created_at timestamptz not null,
  expires_at timestamptz not null,
  revoked_at timestamptz,
  fact_tries int not null default 0,
  fact_given_at timestamptz,
  primary key (clinic_id, link_hash),
  foreign key (clinic_id, patient_id) references patient on delete cascade
);

create table reply (
  clinic_id uuid not null references clinic,
  reply_id uuid not null default uuidv7(),
  transport text not null,
  provider_id text not null,
  from_sealed bytea,
  from_blind bytea,
  patient_id uuid,
  question_id uuid,
  body_sealed bytea not null,
  received_at timestamptz not null,
  read_at timestamptz,
  read_attempts int not null default 0,
  reading_sealed bytea,
  urgency text check (urgency in ('none', 'unclear', 'soon', 'today', 'now')),
  score int,
  protocol_version int,
  primary key (clinic_id, reply_id),
  unique (clinic_id, transport, provider_id)
);
create index reply_unread on reply (clinic_id, received_at) where read_at is null;
create index reply_patient on reply (clinic_id, patient_id, received_at);

create table correction (
  clinic_id uuid not null,
  correction_id uuid not null default uuidv7(),
  reply_id uuid not null,
  by_staff uuid not null,
  was_urgency text not null,
  right_urgency text not null check (right_urgency in ('none', 'unclear', 'soon', 'today', 'now')),
  note_sealed bytea,
  created_at timestamptz not null,
  primary key (clinic_id, correction_id),
  foreign key (clinic_id, reply_id) references reply on delete cascade
);

create table dose_day (
  clinic_id uuid not null,
  plan_id uuid not null,
  day date not null,
  ear text not null check (ear in ('left', 'right')),
  planned int not null,
  done int,
  -- They said that they did some, without a number.
  "some" boolean not null default false,
  reply_id uuid,
  answered_at timestamptz,
  primary key (clinic_id, plan_id, day, ear),
  foreign key (clinic_id, plan_id) references plan on delete cascade
);

create table slot (
  clinic_id uuid not null references clinic,
  slot_id uuid not null default uuidv7(),
  practitioner_id uuid not null,
  start_at timestamptz not null,
  minutes int not null check (minutes between 5 and 480),
  room text,
  status text not null check (status in ('open', 'held', 'taken', 'withdrawn')),
  held_by uuid,
  held_until timestamptz,
  visit_id uuid,
  primary key (clinic_id, slot_id),
  unique (clinic_id, practitioner_id, start_at),
  foreign key (clinic_id, practitioner_id) references practitioner
);
create index slot_open on slot (clinic_id, start_at) where status = 'open';

create table move (
  clinic_id uuid not null,
  move_id uuid not null default uuidv7(),
  visit_id uuid not null,
  patient_id uuid not null,
  kind text not null check (kind in ('move', 'lengthen', 'assessment', 'keep')),
  status text not null check (status in ('proposed', 'accepted', 'declined', 'expired', 'withdrawn', 'done')),
  choices jsonb not null,
  chosen int,
  reason text not null,
  proposed_by uuid,
  proposed_at timestamptz not null,
  deadline_at timestamptz not null,
  answered_at timestamptz,
  primary key (clinic_id, move_id),
  foreign key (clinic_id, visit_id) references visit on delete cascade
);
create unique index move_open on move (clinic_id, visit_id) where status = 'proposed';
create index move_deadline on move (clinic_id, deadline_at) where status = 'proposed';

create table procedure_record (
  clinic_id uuid not null,
  record_id uuid not null default uuidv7(),
  visit_id uuid not null,
  patient_id uuid not null,
  ear text not null check (ear in ('left', 'right')),
  by_staff uuid not null,
  done_at timestamptz not null,
  softness text not null,
  result text not null,
  difficulty text not null,
  detail_sealed bytea not null,
  primary key (clinic_id, record_id),
  unique (clinic_id, visit_id, ear),
  foreign key (clinic_id, visit_id) references visit on delete cascade
);

create table aftercare_check (
  clinic_id uuid not null,
  check_id uuid not null default uuidv7(),
  visit_id uuid not null,
  patient_id uuid not null,
  number int not null,
  due_at timestamptz not null,
  status text not null check (status in ('planned', 'answered', 'missed', 'cancelled')),
  difficulty text not null,
  answered_at timestamptz,
  primary key (clinic_id, check_id),
  unique (clinic_id, visit_id, number),
  foreign key (clinic_id, visit_id) references visit on delete cascade
);
create index check_due on aftercare_check (clinic_id, due_at) where status = 'planned';

create table concern (
  clinic_id uuid not null,
  concern_id uuid not null default uuidv7(),
  patient_id uuid,
  reply_id uuid,
  visit_id uuid,
  source text not null check (source in ('reply', 'silence', 'screening', 'unknown-sender', 'unread')),
  urgency text not null check (urgency in ('unclear', 'soon', 'today', 'now')),
  score int not null,
  reason text not null,
  opened_at timestamptz not null,
  warn_at timestamptz not null,
  deadline_at timestamptz not null,
  status text not null check (status in ('open', 'claimed', 'closed')),
  claimed_by uuid,
  claimed_at timestamptz,
  warned_at timestamptz,
  escalated_at timestamptz,
  closed_at timestamptz,
  closed_by uuid,
  outcome text,
  primary key (clinic_id, concern_id)
);
create unique index concern_reply on concern (clinic_id, reply_id) where reply_id is not null;
create index concern_open on concern (clinic_id, deadline_at) where status <> 'closed';

create table concern_event (
  clinic_id uuid not null,
  concern_id uuid not null,
  event_id uuid not null default uuidv7(),
  at timestamptz not null,
  by_staff uuid,
  kind text not null,
  note_sealed bytea,
  primary key (clinic_id, concern_id, event_id),
  foreign key (clinic_id, concern_id) references concern on delete cascade
);

create table desk_item (
  clinic_id uuid not null,
  item_id uuid not null default uuidv7(),
  dedupe text not null,
  kind text not null,
  patient_id uuid,
  visit_id uuid,
  note_sealed bytea,
  opened_at timestamptz not null,
  due_at timestamptz,
  done_at timestamptz,
  done_by uuid,
  primary key (clinic_id, item_id),
  unique (clinic_id, dedupe)
);

create table notice (
  clinic_id uuid not null,
  notice_id uuid not null default uuidv7(),
  dedupe text not null,
  staff_id uuid not null,
  concern_id uuid,
  kind text not null,
  at timestamptz not null,
  seen_at timestamptz,
  primary key (clinic_id, notice_id),
  unique (clinic_id, dedupe),
  foreign key (clinic_id, staff_id) references staff on delete cascade
);

create table audit_head (
  clinic_id uuid primary key references clinic,
  seq bigint not null,
  hash bytea not null
);

create table audit (
  clinic_id uuid not null references clinic,
  seq bigint not null,
  at timestamptz not null,
  actor text not null,
  action text not null,
  patient_id uuid,
  subject text,
  detail jsonb not null,
  previous_hash bytea not null,
  hash bytea not null,
  primary key (clinic_id, seq)
);
create index audit_patient on audit (clinic_id, patient_id, seq) where patient_id is not null;

create function audit_is_append_only() returns trigger language plpgsql as
  $$ begin raise exception 'the audit is append-only'; end $$;
create trigger audit_append_only before update or delete on audit
  for each row execute function audit_is_append_only();

create table job_run (
  clinic_id uuid not null references clinic,
  job text not null,
  started_at timestamptz not null,
  finished_at timestamptz,
  done int not null default 0,
  error text,
  primary key (clinic_id, job)
);

-- Clinics apart: the service's role sees a row only inside its clinic; nobody but a superuser bypasses it.
do $$
declare t record;
begin
  for t in select tablename from pg_tables where schemaname = current_schema() and tablename <> 'migration' loop
    execute format('alter table %I enable row level security', t.tablename);
    execute format('alter table %I force row level security', t.tablename);
    execute format('create policy clinic_only on %I using (clinic_id = app_clinic()) with check (clinic_id = app_clinic())', t.tablename);
  end loop;
end $$;
create policy directory_read on clinic_directory for select using (true);

grant usage on schema public to foreaft_service;
grant select, insert, update, delete on all tables in schema public to foreaft_service;
revoke insert, update, delete on clinic_directory from foreaft_service;
revoke all on migration from foreaft_service;
revoke update, delete on audit from foreaft_service;
