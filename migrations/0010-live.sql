-- Open pages are told which table changed in which clinic, once a transaction, and read it again themselves.
create function tell_change() returns trigger language plpgsql as $$
begin
  perform pg_notify('foreaft_live', concat(app_clinic(), ' ', tg_table_name));
  return null;
end $$;

do $$
declare t text;
begin
  foreach t in array array['concern', 'desk_item', 'move', 'notice'] loop
    execute format('create trigger tell_change after insert or update or delete on %I
      for each statement execute function tell_change()', t);
  end loop;
end $$;
