-- Urgent messages are claimed first, however long the queue of the others is.
create index message_urgent on message (clinic_id, due_at) where status = 'queued' and urgent;
