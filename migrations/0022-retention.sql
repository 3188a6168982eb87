-- How long each kind of data is kept, where the clinic has decided so itself; the defaults are in privacy/kinds.ts.
create table retention (
  clinic_id uuid not null references clinic,
  kind text not null,
  days int not null check (days between 1 and 36525),
  confirmed_by uuid not null,
  confirmed_at timestamptz not null,
  primary key (clinic_id, kind)
);
alter table retention enable row level security;
alter table retention force row level security;
create policy clinic_only on retention using (clinic_id = app_clinic()) with check (clinic_id = app_clinic());
grant select, insert, update, delete on retention to foreaft_service;
