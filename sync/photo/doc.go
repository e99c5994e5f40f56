// Package photo moves photos between devices and a store over HTTP, in parts, so that a
// cut line costs at most one part. A photo is named by the SHA-256 of its bytes; the
// entry that names it comes first, in a frame of sync/wire, and the photo when there is signal.
//
// The exchange follows the draft of resumable uploads for HTTP
// (draft-ietf-httpbis-resumable-upload), with the photo's own address as the upload's:
//
//	HEAD  /photos/SHA   how much is there: Upload-Offset; Upload-Complete: ?1 when all is
//	PATCH /photos/SHA   one part, of Content-Type application/partial-upload, with
//	                    Upload-Offset (where it begins) and Upload-Length (of the whole)
//	GET   /photos/SHA   the photo, ranges included
//
// The answer to a PATCH has the new Upload-Offset. The answer to the last one comes after
// the hash has been verified and the photo is durable, and has Upload-Complete: ?1: that
// is the receipt, and the device keeps the photo until it has it. Parts belong to the
// device that sends them; that another device has sent a photo is said only to who may read it. A
// server that died between the last byte and the receipt is sent an empty part, and then gives it. Refusals are
// *model.Problem as JSON: 409 when the part does not begin at the offset (which the answer
// names), 422 when the bytes do not give the hash and all parts were dropped, 413 when a
// part or photo is too large, 415 when the whole is no photo, 507 when there is no room for it now:
// then HEAD says so too, and an empty part is answered in words; 503 before the body is read, and the
// connection ends, when the device is sending [PartsAtOnce] already.
//
// Of a photo the package looks at its first bytes and header ([CheckJPEG]); decoding it is left to
// those who show it.
package photo
