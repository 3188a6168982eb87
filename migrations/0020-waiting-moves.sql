-- A move that waits for another patient's place: proposed when that place is free.
alter table move drop constraint move_status_check;
alter table move add constraint move_status_check
  check (status in ('waiting', 'proposed', 'accepted', 'declined', 'expired', 'withdrawn', 'done'));
create unique index move_waiting on move (clinic_id, visit_id) where status = 'waiting';
